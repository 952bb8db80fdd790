"""The rule engine: three-valued conditions over sets of values, overlays, verdicts, traces. It knows nothing of soil."""
