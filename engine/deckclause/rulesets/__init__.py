"""Rule sets: vocabulary, models, reading, layering, register, fingerprints."""
