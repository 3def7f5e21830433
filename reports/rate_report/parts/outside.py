"""What a report for readers outside the clinic says in place of its lists of patients."""

NOT_FOR_OUTSIDE = (
    (
        "Not in this report: it lists single patients. Whoever has to recount it asks the clinic's "
        "director for an auditor's grant of this clinic and quarter."
    ),
)
