"""Qt item models over tuples of records; read only, without rules."""
