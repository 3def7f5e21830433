"""Compare fairly: the funnel and the standardised ratios stand on the network's page."""

from __future__ import annotations

from django.urls import reverse

from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection


def section(m: Material) -> PageSection:
    note = (
        "Clinics differ by luck and by whom they treat. The funnel shows what luck does at each "
        "size; the ratio allows for the mix of CAPD and APD. There are no ranks."
    )
    links = ()
    if m.sight.sees_network and m.snapshot.clinic.network:
        address = reverse("network", args=[m.snapshot.clinic.uid, m.quarter])
        links = (("Funnel and standardised ratios", address),)
    return PageSection("fairness", "Compare fairly", "", (), (note,), links)
