"""Reading to number with doubt, or bound, or refusal with a reason."""
