"""One form sent is one record, however often the button was pressed."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Callable, Mapping
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import IntegrityError, transaction

from clinic.actions.refusals import Fault, Refused, refuse
from clinic.models import MODELS, Person, RecordRow, Submission


class SentBefore(Refused):
    """The key stands for another content."""


def once(
    *, by: Person, key: uuid.UUID, subject: str, sent: Mapping[str, Any],
    make: Callable[[uuid.UUID], RecordRow],
) -> RecordRow:  # fmt: skip
    """The row that this key stands for: made now (`make` gets its uid), or made before."""
    digest = _digest(sent)
    uid = uuid.uuid4()
    try:
        with transaction.atomic():
            # The key comes first: of two presses at once the second waits here, then fails.
            Submission.objects.create(
                person=by, key=key, digest=digest, subject=subject, thing_uid=uid
            )
            return make(uid)
    except IntegrityError:
        return _made_before(by, key, digest)


def _made_before(by: Person, key: uuid.UUID, digest: str) -> RecordRow:
    earlier = Submission.objects.filter(person=by, key=key).first()
    if earlier is None:
        raise refuse("", "This could not be saved just now; nothing was stored. Send it again.")
    if earlier.digest != digest:
        raise SentBefore(Fault("", "This form was sent before with other answers; open it anew."))
    return MODELS[earlier.subject].objects.get(uid=earlier.thing_uid)


def _digest(sent: Mapping[str, Any]) -> str:
    text = json.dumps(sent, cls=DjangoJSONEncoder, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()
