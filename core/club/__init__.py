"""What a member may do: the only door into core for writing."""

from core.club.recording import Proposal, Recorded, Refused
from core.club.visit import Visit, Visits

__all__ = ["Proposal", "Recorded", "Refused", "Visit", "Visits"]
