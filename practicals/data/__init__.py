"""Data that is shipped: practicals as TOML, published Rf values and their sources as CSV.

No code. Read through `importlib.resources` by `practicals.calculations.published` and
`practicals.calculations.practical_file`. Every figure names its source by a key of `SOURCES.csv`,
or says 'common practice, no source'.
Start with `practicals/amino_acids_on_paper.toml`.
"""
