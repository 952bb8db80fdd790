"""Descriptions of layers and remarks of logs: the words, and what they allow the ground to be."""
