"""The unit as a network: solved and fitted."""
