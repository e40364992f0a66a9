"""Tables of standards as typed, cited look-ups that refuse to guess outside their range."""
