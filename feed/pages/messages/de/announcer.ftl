# Die Seite der Ansage. Was wozu dient, steht in der englischen Datei.
title = Ansage · Fivemark

## Der Kopf.
cap = Limit { $time }
window = AMRAP · Zeitfenster { $time }
window-attempts = Zeitfenster { $time }
left = noch { $time }
starts-in = Start in { $seconds } s
held-means = Angehalten. Auf den Hauptkampfrichter warten.
cancelled-means = Dieser Durchgang des Laufs zählt nicht.
runs-again = Bahn { $lane } läuft noch einmal; die Ergebnisse der anderen Bahnen gelten.
not-recording = Der Server kann nicht aufzeichnen: Nichts Neues wird gezählt.
clock-in-doubt = Die Uhr ist noch nicht bestätigt.
age-seconds = vor { $seconds } s
age-minutes = vor { $minutes } min

## Die Listen.
leading = In Führung
still-working = Vorn auf der Fläche
nobody-scored = Noch hat niemand gepunktet.
nobody-works = Niemand ist mehr unterwegs.
mixed = Mehrere Divisionen: Plätze und Abstände gelten je Division.
mixed-same-work = Mehrere Divisionen: Plätze gelten je Division, Abstände zum Ersten des ganzen Laufs.
behind = Dahinter
last-five = Letzte fünf
none-yet = Noch niemand.
done = Im Ziel
start-list = Startliste
results-provisional = Ergebnisse, vorläufig
results-official = Ergebnisse, offiziell
next = Nächster Lauf
next-heat = Als Nächstes: { $heat } · { $workout }
no-next = Nach diesem Lauf kommt keiner mehr.
next-line = Als Nächstes: { $heat } · { $workout }
close-next = Nächsten Lauf schließen
said = Gesagt

## Eine Bahn.
lane = Bahn { $lane }
lane-short = B{ $lane }
to-go = noch { $amount }
to-the-line = zur Linie
round-and = Runde { $round } · { $units }
part = { $done } von { $all } { $movement }
part-whole = { $all } { $movement }
# Was gerade versucht wird, und der wievielte Versuch es ist.
now-load = jetzt { $load }
now-holding = hält
try = Versuch { $number }
try-of = Versuch { $number } von { $all }
seconds = { $time } s
behind-units = { $units } zurück
behind-time = { $time } s
behind-time-alone = { $time } s zurück
level = gleichauf
under-review = wird geprüft
status-racing = unterwegs
status-finished = im Ziel
status-capped = Zeitlimit
status-did-not-finish = DNF
status-did-not-start = DNS
status-disqualified = DQ

## Was gesagt wird.
fact-lead-new = { $name } führt, Bahn { $lane }.
fact-lead-new-division = { $name } führt in { $division }, Bahn { $lane }.
fact-last-five-new = Letzte fünf: { $name }, Bahn { $lane }.
fact-part-five-new = Letzte fünf { $part }: { $name }, Bahn { $lane }.
fact-last-five-back = Zurückgenommen: { $name }, Bahn { $lane }, ist nicht in den letzten fünf.
fact-finish-new = { $name } ist im Ziel: { $result }, Platz { $place }, Bahn { $lane }.
fact-finish-new-division = { $name } ist im Ziel: { $result }, Platz { $place } in { $division }, Bahn { $lane }.
fact-finish-corrected = Korrektur: { $name }, Bahn { $lane }, jetzt { $result }, Platz { $place }.
fact-finish-corrected-division = Korrektur: { $name }, Bahn { $lane }, jetzt { $result }, Platz { $place } in { $division }.
fact-finish-back = Zurückgenommen: Der Zieleinlauf von { $name }, Bahn { $lane }, gilt nicht.
fact-minute = Noch eine Minute.
fact-state-lanes-set = { $heat }: Bahnen gesetzt.
fact-state-on-deck = { $run ->
    [1] { $heat } bereit.
   *[other] { $heat } wieder bereit, Durchgang { $run }.
}
fact-state-countdown = Countdown.
fact-state-countdown-again = Es geht weiter.
fact-state-running = Die Uhr läuft.
fact-state-running-again = Die Uhr läuft wieder.
fact-state-held = Angehalten. Auf den Hauptkampfrichter warten.
fact-state-time-called = Die Zeit ist um.
fact-state-provisional = Die Ergebnisse sind vorläufig.
fact-state-signed = Die Ergebnisse sind offiziell.
fact-state-cancelled = Dieser Durchgang ist annulliert und zählt nicht.
