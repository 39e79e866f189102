"""A message comes in, replies go out: the one place where reading, the club and the wording meet."""
