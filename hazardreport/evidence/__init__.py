"""Pictures: intake, hash, claimed time, orientation, derived pictures."""
