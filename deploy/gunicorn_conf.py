"""How gunicorn runs the web process: ``gunicorn -c python:deploy.gunicorn_conf deploy.wsgi``.

WEB_CONCURRENCY, which gunicorn reads itself, sets the number of processes.
"""

import os

workers = int(os.environ.get("WEB_CONCURRENCY") or 2)
threads = 4
preload_app = True  # the gate and the imports once, and a bad setting ends the master at once
timeout = 60
graceful_timeout = 8
control_socket_disable = True
max_requests = 20_000  # a leak in a library must not grow for months
max_requests_jitter = 2_000

_logger = {"level": "INFO", "handlers": ["json"], "propagate": False}
logconfig_dict = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"json": {"()": "deploy.logging.JsonLines"}},
    "handlers": {"json": {"class": "logging.StreamHandler", "formatter": "json"}},
    "root": {"level": "INFO", "handlers": ["json"]},
    "loggers": {"gunicorn.error": _logger, "gunicorn.access": {**_logger, "level": "CRITICAL"}},
}


def post_worker_init(_worker: object) -> None:
    """Begin to look for silence in each process, after the fork: threads do not come along."""
    from yards.pages import silence

    silence.begin()
