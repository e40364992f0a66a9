"""The unit as a network: compiled from its wiring, solved in every state, and fitted to the readings."""
