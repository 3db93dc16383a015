"""The analyses: from the model to facts, by plain functions on floats. Knows no text, no words for users, no rules."""
