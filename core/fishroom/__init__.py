"""A fishroom's state, and how the journal's entries make it."""
