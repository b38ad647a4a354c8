"""The runtime's rights on tables that belong to no organisation: people, sessions, sign-in."""

from django.db import migrations

from yards.migrations import _tenancy as tenancy


class Migration(migrations.Migration):
    dependencies = [
        ("yards", "0002_isolation"),
        ("sessions", "0001_initial"),
        ("account", "0009_emailaddress_unique_primary_email"),
        ("mfa", "0003_authenticator_type_uniq"),
        ("usersessions", "0001_initial"),
    ]

    operations = [
        tenancy.person("yards_user", rights="SELECT, INSERT, UPDATE"),
        tenancy.person("django_session"),
        tenancy.person("account_emailaddress"),
        tenancy.person("account_emailconfirmation"),
        tenancy.person("mfa_authenticator"),
        tenancy.person("usersessions_usersession"),
        tenancy.person("django_content_type", rights="SELECT"),
        tenancy.person("django_migrations", rights="SELECT"),
        tenancy.person("auth_permission", rights="SELECT"),
        tenancy.person("auth_group", rights="SELECT"),
        tenancy.person("auth_group_permissions", rights="SELECT"),
    ]
