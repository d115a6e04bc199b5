# Wörter, die alle Seiten teilen.
link-lost = Keine Verbindung zum Server. Sie wird von selbst wieder versucht.

## Hereinkommen mit einem Zugangsschlüssel.
entry-title = Zugangsschlüssel
entry-key = Zugangsschlüssel deiner Rolle
entry-go = Öffnen
entry-hint = Die Veranstaltungsleitung hat ihn. Ein Link oder Code, in dem er steht, öffnet diese Seite sofort.
entry-wrong = Dieser Schlüssel öffnet diese Seite nicht. Prüfe ihn oder frage die Veranstaltungsleitung.

## Zustände eines Laufs.
state-lanes-set = Bahnen gesetzt
state-on-deck = bereit
state-countdown = Countdown
state-running = läuft
state-held = angehalten
state-time-called = Zeit um
state-provisional = vorläufig
state-signed = offiziell
state-cancelled = annulliert
