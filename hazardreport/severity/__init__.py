"""From source and exposure to current, zone, device and grade."""
