"""The writes by name: forms, API and import call these."""

from functools import partial

from clinic import models
from clinic.actions import writing

record_patient = partial(writing.record, models.Patient)
record_spell = partial(writing.record, models.PdSpell)
record_pause = partial(writing.record, models.PdPause)
record_catheter = partial(writing.record, models.Catheter)
record_training = partial(writing.record, models.Training)
record_peritonitis = partial(writing.record, models.Peritonitis)
record_sample = partial(writing.record, models.EffluentSample)
record_isolate = partial(writing.record, models.Isolate)
record_susceptibility = partial(writing.record, models.Susceptibility)
record_catheter_infection = partial(writing.record, models.CatheterInfection)
record_admission = partial(writing.record, models.Admission)
record_contamination = partial(writing.record, models.Contamination)
record_call = partial(writing.record, models.Call)
record_therapy = partial(writing.record, models.Therapy)
record_root_cause_review = partial(writing.record, models.RootCauseReview)
record_exit_site_check = partial(writing.record, models.ExitSiteCheck)
record_technique_observation = partial(writing.record, models.TechniqueObservation)

# A row knows its subject, so one amend and one withdraw serve them all.
amend = writing.amend
withdraw = writing.withdraw
restore = writing.restore
