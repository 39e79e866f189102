"""Every sentence a member sees: values go in, words come out; nothing is decided here."""
