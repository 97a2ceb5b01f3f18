"""What had to be assumed: the keys under [instruments] that results rest on unmeasured."""

from __future__ import annotations

from functools import lru_cache

from toebox.job.model import Job
from toebox.solve.network import Network

# Which instrument took a reading, by the start of its label; the first that fits counts.
TAKEN_WITH = (
    ("string.front_bar_width", "tape"),
    ("string.rear_bar_width", "tape"),
    ("string.", "string_rule"),
    ("tape.", "tape"),
    ("wheelbase_", "tape"),
    ("steering_wheel_off", "road_test"),
    ("inclinometer.left_front.sweep.steer", "turn_plates"),
    ("inclinometer.right_front.sweep.steer", "turn_plates"),
    ("inclinometer.", "inclinometer"),
    ("floor.", "string_rule"),
    ("turn.", "turn_plates"),
)


def assumptions(job: Job, network: Network) -> tuple[str, ...]:
    """List what the results of a pass rest on beside its readings.

    Parameters
    ----------
    job : Job
        Instruments, and which of them the file stated.
    network : Network
        The observations of the pass.

    Returns
    -------
    tuple of str
        Assumptions that entered the fit, such as ``strings_parallel_within`` or ``rim_runout``;
        ``shown_caster`` where a gauge showed caster itself; then instruments that were used but
        not stated.
    """
    entered = [o.assumed.partition(".")[0] for o in network.observations if o.assumed]
    used = [instrument_of(o.label) for o in network.observations if not o.assumed]
    unstated = [key for key in used if key not in job.instruments.stated]
    labels = [o.label.partition("[")[0] for o in network.observations]
    shown = ["shown_caster"] * any(label.endswith("_front.caster") for label in labels)
    return tuple(dict.fromkeys([*entered, *shown, *unstated]))


@lru_cache(maxsize=512)
def instrument_of(label: str) -> str:
    """Return the instrument that a reading was taken with.

    Parameters
    ----------
    label : str
        Label of an observation.

    Returns
    -------
    str
        Key under [instruments].

    Raises
    ------
    ValueError
        If the label is not that of a reading.
    """
    for start, instrument in TAKEN_WITH:
        if label.startswith(start):
            return instrument
    raise ValueError(f"not a reading: {label}")
