"""
The Celery app. The broker only carries the tick of the clock: what is due stands in the
database, so a broker that forgets everything loses nothing.
"""

import os

from celery import Celery
from django.conf import settings

from worker.schedule import beat_schedule

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shopfloor.config.settings")

app = Celery("shopfloor", include=["worker.tasks"])
app.set_default()
embedded = settings.CELERY_BROKER_URL.startswith("memory:")
app.conf.update(
    broker_url="memory://localhost" if embedded else settings.CELERY_BROKER_URL,
    broker_connection_retry_on_startup=True,
    # memory:// is polled, once a second by default; Redis gives a lost task back after its
    # visibility timeout, checked every `unacked_restore_interval` × `throttle` polls.
    broker_transport_options=(
        {"polling_interval": 0.1}
        if embedded
        else {
            "visibility_timeout": 300,
            "unacked_restore_interval": 5,
            "unacked_restore_throttle": 1,
            "socket_timeout": 10,
        }
    ),
    timezone="UTC",
    enable_utc=True,
    task_ignore_result=True,
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    worker_prefetch_multiplier=1,
    worker_hijack_root_logger=False,
    # Nothing is kept between runs: a file of last runs would silence beat after the clock
    # of the machine was put back.
    beat_scheduler="celery.beat:Scheduler",
    beat_schedule=beat_schedule(sweep_seconds=settings.SHOPFLOOR_SWEEP_SECONDS),
)
