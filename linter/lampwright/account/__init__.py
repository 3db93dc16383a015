"""What many reports say alike: their sums in words, and findings as plain objects. Makes no report itself."""
