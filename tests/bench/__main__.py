"""`make bench`: prints what was measured here, beside what is wanted. Nothing fails on it."""

import os
import tempfile

import django


def main():
    with tempfile.TemporaryDirectory() as home:
        os.environ["WICKMARK_HOME"] = home
        os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
        django.setup()
        from django.test.runner import DiscoverRunner

        from tests.bench import (
            class_analysis,
            evidence_grid,
            labels,
            pages,
            portfolio,
            prep_week,
            slip_ranking,
        )

        runner = DiscoverRunner(verbosity=0)
        databases = runner.setup_databases()
        try:
            for bench in (slip_ranking, class_analysis, labels, portfolio, pages, evidence_grid, prep_week):
                for what, measured, beside in bench.report():
                    print(f"{what:<46} {measured:>20}   {beside}")
        finally:
            runner.teardown_databases(databases)


if __name__ == "__main__":
    main()
