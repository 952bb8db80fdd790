"""What the judged ground asks of fluid and casing, whatever was chosen: bare lengths, pressures, windows by depth, pulls. No sizes."""
