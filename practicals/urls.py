"""The addresses of the whole project: one journey per line."""

from django.urls import include, path

urlpatterns = [
    path("", include("assessment.pages.home.urls")),
    path("", include("practicals.pages.people.urls")),
    path("plan/", include("practicals.pages.plan.urls")),
    path("bench/", include("practicals.pages.bench.urls")),
    path("board/", include("practicals.pages.board.urls")),
    path("prep/", include("reagents.pages.prep.urls")),
    path("stock/", include("reagents.pages.stock.urls")),
    path("briefs/", include("assessment.pages.briefs.urls")),
    path("marking/", include("assessment.pages.marking.urls")),
    path("attempts/", include("assessment.pages.attempts.urls")),
    path("results/", include("assessment.pages.exchange.urls")),
    path("observation/", include("assessment.pages.observation.urls")),
    path("my-work/", include("assessment.pages.my_work.urls")),
    path("verify/", include("assessment.pages.verify.urls")),
    path("standardise/", include("assessment.pages.standardise.urls")),
]

handler400 = "practicals.pages.errors.bad_request"
handler403 = "practicals.pages.errors.not_found"
handler404 = "practicals.pages.errors.not_found"
handler500 = "practicals.pages.errors.went_wrong"
