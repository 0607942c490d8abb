"""Mirror of `reagents/calculations`."""
