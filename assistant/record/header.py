"""What is known of a session when it begins: who, when, with which plan, profile and program."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Annotated, Self

from pydantic import AfterValidator, Field

from catalogue.model import Frozen, Profile
from catalogue.plan import Plan


def _utc(text: str) -> str:
    moment = datetime.fromisoformat(text)
    if moment.utcoffset() != timedelta(0):
        raise ValueError("not a moment in UTC: end it in +00:00")
    return text


def _json_object(text: str) -> str:
    if not isinstance(json.loads(text), dict):
        raise ValueError("not a JSON object")
    return text


JsonObject = Annotated[str, AfterValidator(_json_object)]


class SessionHeader(Frozen):
    """The first entry of a session.

    `started_utc` is an ISO 8601 moment in UTC; `utc_offset` is how many minutes east of it the
    athlete's clock stood, so that a session belongs to the athlete's day. `profile` and `plan`
    are JSON texts: a session stays readable after a profile or a plan has grown new fields.
    `rules` names what else its course follows from: a session goes on only under the same.
    """

    started_utc: Annotated[str, AfterValidator(_utc)]
    utc_offset: int = Field(default=0, ge=-24 * 60, le=24 * 60, description="minutes east")
    athlete: str
    language: str
    profile: JsonObject
    plan: JsonObject
    catalogue: str
    catalogue_digest: str
    seed: int
    program: str
    rules: str = ""

    @classmethod
    def of(
        cls,
        *,
        started: datetime,
        profile: Profile,
        plan: Plan,
        catalogue: str,
        catalogue_digest: str,
        seed: int,
        program: str,
        rules: str = "",
    ) -> Self:
        """From what a session begins with. `started` must know its time zone."""
        offset = started.utcoffset()
        if offset is None:
            raise ValueError("started has no time zone: use datetime.now().astimezone()")
        return cls(
            started_utc=started.astimezone(UTC).isoformat(timespec="milliseconds"),
            utc_offset=round(offset.total_seconds() / 60),
            athlete=profile.athlete,
            language=profile.language,
            profile=profile.model_dump_json(),
            plan=plan.model_dump_json(),
            catalogue=catalogue,
            catalogue_digest=catalogue_digest,
            seed=seed,
            program=program,
            rules=rules,
        )

    def started(self) -> datetime:
        """When the session began, as the athlete's clock showed it."""
        moment = datetime.fromisoformat(self.started_utc)
        return (moment + timedelta(minutes=self.utc_offset)).replace(tzinfo=None)

    def read_profile(self) -> Profile:
        """Raises pydantic.ValidationError where this cuewalk does not know its shape."""
        return Profile.model_validate_json(self.profile)

    def read_plan(self) -> Plan:
        """Raises pydantic.ValidationError where this cuewalk does not know its shape."""
        return Plan.model_validate_json(self.plan)
