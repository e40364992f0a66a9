"""Profiles of authorities and makers; what a case lacks for one of them."""
