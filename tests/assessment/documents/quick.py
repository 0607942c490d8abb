"""A quick stand-in for printing, where a test is about keeping and not about the pages."""

import pytest


@pytest.fixture
def quick_print(monkeypatch):
    """Portfolios as a few bytes that still differ when their contents do; gives the titles printed."""
    printed: list[str] = []

    def print_quickly(portfolio):
        printed.append(portfolio.title)
        return f"%PDF-1.7 {portfolio.title} {portfolio.copy_of} {portfolio.created.isoformat()}".encode()

    monkeypatch.setattr("assessment.documents.make_portfolio.portfolio_pdf", print_quickly)
    return printed
