"""The command line: one file a command; it parses and hands over."""
