"""What comes next: care, promises, catch days, answers, each a pure function of state and day with its reasons."""
