"""The migrations of the lasting tables."""
