"""Case to folder and back; unit sheets (TOML) and bench sheets (CSV)."""
