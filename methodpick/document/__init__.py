"""What a report holds, page by page and without any format: HTML and PDF are set from the same parts."""
