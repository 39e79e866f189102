"""An invented club, told as conversations, for trying Frywire out."""
