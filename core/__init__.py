"""The scheduling and inventory module: what happened, what follows from it, and who was promised what."""
