"""What stands for the process that works bands out: it answers when it is told to."""

from __future__ import annotations

import numpy as np

from app.judge.worker import Job, Reply
from app.session.band_keeper import Helper
from app.systems.banded import Again, CarBands, StudyBands


class Beside(Helper):
    """Stands for the process: keeps the jobs, and answers when it is told to."""

    def __init__(self) -> None:
        super().__init__()
        self.jobs: list[Job] = []
        self.waiting: list[Reply] = []

    def send(self, job: Job) -> None:
        self.jobs.append(job)

    def replies(self, number: int) -> list[Reply]:
        came, self.waiting = self.waiting, []
        return [reply for reply in came if reply.number == number]

    def reply(
        self, level: int, within: float, key: str = "camber", again: tuple[Again, ...] = ()
    ) -> None:
        rest = {key: np.array([within, within])}
        cars = {car: CarBands(rest) for car in ("found", "built", "moves")}
        bands = StudyBands(cars, level=level, again=again)  # type: ignore[arg-type]
        self.waiting += [Reply(self.jobs[-1].number, bands), Reply(self.jobs[-1].number, None)]
