"""Conversations in one plain form: read, played against a front door, compared with what they expect."""
