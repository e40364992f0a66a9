"""Case to Assessment: the one confluence of readings, circuit, severity and tables."""
