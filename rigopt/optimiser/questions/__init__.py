"""The questions that can be asked, a module or folder each."""
