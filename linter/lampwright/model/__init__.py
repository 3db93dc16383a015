"""The model: frozen dataclasses in SI, names resolved, a span for each field. Knows no YAML and no words for users."""
