"""Reports as people and programs read them. Each file makes one form; none of them knows the others."""
