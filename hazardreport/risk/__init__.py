"""Injury scenarios to risk levels by the EU guidelines' method, and what else weighs; no number is judged here."""
