"""The shop's certificate: holds for its names only, stays when addresses change, its keys are readable by us only."""

import http.client
import re
import socket
import ssl
import stat
import subprocess
import sys
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from stopwright.errors import StopwrightError
from stopwright.web.access.certificate import shop_certificate

NOW = datetime(2026, 3, 1, 7, 30, tzinfo=UTC)
HOSTS = {"stopwright.local", "bench", "192.168.1.5", "localhost", "127.0.0.1"}


def verified(made, host, at=NOW):
    authority = x509.load_der_x509_certificate(made.authority)
    server = x509.load_pem_x509_certificate(made.certificate.read_bytes())
    subject = x509.IPAddress(host) if not isinstance(host, str) else x509.DNSName(host)
    PolicyBuilder().store(Store([authority])).time(at).build_server_verifier(subject).verify(server, [])


def test_the_certificate_holds_for_the_names_of_the_bench_and_no_others(tmp_path):
    made = shop_certificate(tmp_path / "certificate", HOSTS, NOW)
    for host in ("stopwright.local", "bench", "localhost"):
        verified(made, host)
    with pytest.raises(VerificationError):
        verified(made, "bank.example")
    with pytest.raises(VerificationError):
        verified(made, "stopwright.local", NOW + timedelta(days=400))


def test_nobody_else_may_read_the_keys(tmp_path):
    shop_certificate(tmp_path / "certificate", HOSTS, NOW)
    modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in (tmp_path / "certificate").iterdir()}
    assert modes == dict.fromkeys(["authority.pem", "authority-key.pem", "server.pem", "server-key.pem"], 0o600)
    assert stat.S_IMODE((tmp_path / "certificate").stat().st_mode) == 0o700


def test_what_phones_installed_goes_on_holding_when_the_address_or_the_year_changes(tmp_path):
    first = shop_certificate(tmp_path, HOSTS, NOW)
    before = first.certificate.read_bytes()
    assert shop_certificate(tmp_path, HOSTS, NOW + timedelta(days=300)).certificate.read_bytes() == before
    for hosts, at in ((HOSTS | {"192.168.1.77"}, NOW), (HOSTS, NOW + timedelta(days=380))):
        again = shop_certificate(tmp_path, hosts, at)
        assert again.authority == first.authority and again.certificate.read_bytes() != before
        verified(again, "stopwright.local", at)


def test_an_authority_made_while_the_clock_was_years_ahead_holds_once_it_is_put_right(tmp_path):
    ahead = shop_certificate(tmp_path, HOSTS, NOW + timedelta(days=20_000))
    right = shop_certificate(tmp_path, HOSTS, NOW)
    assert right.authority == ahead.authority  # phones keep what they installed
    verified(right, "stopwright.local", NOW)


def test_the_authority_vouches_for_private_networks_and_its_own_names_only(tmp_path):
    made = x509.load_der_x509_certificate(shop_certificate(tmp_path, HOSTS, NOW).authority)
    allowed = made.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees
    names = {str(one.value) for one in allowed}
    assert {"local", "bench", "localhost", "192.168.0.0/16"} <= names and "0.0.0.0/0" not in names
    elsewhere = shop_certificate(tmp_path, HOSTS | {"workbench"}, NOW)  # a name that it may not vouch for: a new one
    assert x509.load_der_x509_certificate(elsewhere.authority) != made


def test_a_damaged_key_is_said_in_words(tmp_path):
    shop_certificate(tmp_path, HOSTS, NOW)
    (tmp_path / "authority-key.pem").write_text("no key")
    with pytest.raises(StopwrightError, match="cannot be made or read"):
        shop_certificate(tmp_path, HOSTS, NOW)


@contextmanager
def served(folder, *more):
    command = [sys.executable, "-m", "stopwright", "serve", "--data", str(folder), "--port", "0", *more]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as process:
        try:
            yield process
        finally:
            process.kill()


def test_the_bench_answers_over_https_and_over_http_as_before_and_ends_on_ctrl_c(tmp_path):
    with served(tmp_path, "--tls") as process:
        said = [process.stdout.readline() for _ in range(2)]
        plain, secure = (int(re.search(r"127\.0\.0\.1:(\d+)", line)[1]) for line in said)
        trusting = ssl.create_default_context(cafile=tmp_path / "certificate" / "authority.pem")
        for connection in (
            http.client.HTTPConnection("127.0.0.1", plain, timeout=20),
            http.client.HTTPSConnection("127.0.0.1", secure, timeout=20, context=trusting),
            http.client.HTTPSConnection("localhost", secure, timeout=20, context=trusting),
        ):
            connection.request("GET", "/")
            assert connection.getresponse().status == 200
            connection.close()
        with pytest.raises(ssl.SSLCertVerificationError):
            http.client.HTTPSConnection("127.0.0.1", secure, context=ssl.create_default_context()).request("GET", "/")
        process.send_signal(2)
        rest, _ = process.communicate(timeout=20)
    assert process.returncode == 0 and "Traceback" not in rest
    copies = list((tmp_path / "copies").iterdir())
    assert len(copies) == 1, "the copy of the day"


def test_a_port_that_is_taken_is_said_in_words(tmp_path):
    with (
        socket.create_server(("127.0.0.1", 0)) as taken,
        served(tmp_path, "--port", str(taken.getsockname()[1])) as one,
    ):
        said, _ = one.communicate(timeout=20)
    assert one.returncode == 2 and "cannot be used" in said and "Traceback" not in said
