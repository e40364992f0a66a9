"""Widgets that tell what the person did and show what they are given."""
