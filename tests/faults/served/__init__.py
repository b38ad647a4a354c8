"""The service as the fault runs serve it: deploy's own, a probe, and what a control breaks."""
