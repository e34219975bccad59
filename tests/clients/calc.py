# SPDX-License-Identifier: BSL-1.0
"""A LibreOffice Calc without a window, with the add-in installed, spoken to over a pipe."""
import os
import shutil
import subprocess
import time
import uuid

import uno
from com.sun.star.beans import PropertyValue

SECONDS = 90  # for Calc to answer, on a busy machine


def property_value(name, value):
    one = PropertyValue()
    one.Name, one.Value = name, value
    return one


class Calc:
    """Calc in a profile of its own. `locale` as de-DE is that of new documents; it needs no language pack."""

    def __init__(self, profile, locale=None):
        self.profile = os.path.abspath(profile)
        self.documents = []
        if locale:
            self._set_locale(locale)
        pipe = "tw" + uuid.uuid4().hex
        self.process = subprocess.Popen(
            ["soffice", "--headless", "--norestore", f"--accept=pipe,name={pipe};urp;",
             f"-env:UserInstallation=file://{self.profile}"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        ends = time.monotonic() + SECONDS
        while True:
            try:
                context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
                break
            except Exception:  # not there yet: the bridge has an exception of its own for that
                if time.monotonic() > ends or self.process.poll() is not None:
                    self.process.kill()
                    raise
                time.sleep(0.1)
        self.context = context
        self.desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)

    def _set_locale(self, locale):
        os.makedirs(os.path.join(self.profile, "user"), exist_ok=True)
        with open(os.path.join(self.profile, "user", "registrymodifications.xcu"), "w", encoding="utf-8") as file:
            file.write('<?xml version="1.0" encoding="UTF-8"?>\n<oor:items '
                       'xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Setup/L10N">'
                       f'<prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{locale}</value></prop></item>'
                       "</oor:items>\n")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        try:
            for document in self.documents:
                document.close(True)
            self.desktop.terminate()
        except Exception:  # it hangs up while answering
            pass
        try:
            self.process.wait(20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()

    def opened(self, path=None):
        """A document, new where no path is given."""
        url = uno.systemPathToFileUrl(os.path.abspath(path)) if path else "private:factory/scalc"
        document = self.desktop.loadComponentFromURL(url, "_blank", 0, (property_value("Hidden", True),))
        self.documents.append(document)
        return document


def install(package, profile):
    """Installs an add-in; the returned function takes it out again. Root can install for all users only."""
    shared = ["--shared"] if os.getuid() == 0 else []
    user = f"-env:UserInstallation=file://{os.path.abspath(profile)}"
    remove = ["unopkg", "remove", *shared, user, "org.tapewright.cells"]
    subprocess.run(remove, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    shutil.rmtree(profile, ignore_errors=True)
    subprocess.run(["unopkg", "add", *shared, "-f", user, package], check=True, stdout=subprocess.DEVNULL,
                   stderr=subprocess.DEVNULL)
    return lambda: subprocess.run(remove, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
