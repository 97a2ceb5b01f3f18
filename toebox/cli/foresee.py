"""`toebox foresee`: before measuring, what the planned readings will prove."""

from __future__ import annotations

import click

from toebox.cli import output
from toebox.cli.answer import JOB


@click.command("foresee")
@click.argument("job", type=JOB)
@click.option("--json", "as_json", is_flag=True, help="One JSON object on one line.")
def command(job: str, as_json: bool) -> None:
    """Say before measuring what the readings planned in JOB will prove.

    For every result: the 95 % interval that these instruments will give, and how likely a car
    that is right will be proven right. Then what would help most. The values of readings are not
    looked at: "?" will do for each, as `toebox start` writes it. The sizes come first: those of
    the car, and of a pass bar_spacing.

    \b
    Examples:
      toebox foresee plan.toml
      toebox foresee --json plan.toml
    """
    from toebox.job import load
    from toebox.solve.foresee import foresee

    forecast = foresee(load(job, plans=True))
    if as_json:
        from toebox.report.forecast import forecast_result

        output.write_json(forecast_result(forecast))
        return
    from toebox.report.view.forecast import make_forecast

    output.show(make_forecast(forecast))
