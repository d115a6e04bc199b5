probe-title = Wie spät ist diese Wand?
probe-intro = Eine Wand zeigt ihr Bild ein wenig spät. Hier misst die Kamera dieses Telefons, um wie viel; das Anzeigeprogramm kann dann so weit voraus zeichnen.
probe-step-card = Zeige das Testbild auf der Wand:
probe-step-aim = Öffne die Kamera und halte den quadratischen Code des Testbilds zehn Sekunden lang im Rahmen.
probe-open = Kamera öffnen
probe-progress = Gesehene Codes

probe-camera-insecure = Die Kamera braucht eine sichere Verbindung. Öffne diese Seite über die https-Adresse des Feeds oder auf dem Rechner des Feeds selbst.
probe-camera-unknown = Dieser Browser gibt Seiten keine Kamera. Öffne die Seite in einem anderen.
probe-camera-refused = Die Kamera wurde nicht erlaubt. Erlaube sie für diese Seite in den Einstellungen des Browsers und öffne sie noch einmal.
probe-camera-none = Auf diesem Gerät wurde keine Kamera gefunden.
probe-camera-busy = Die Kamera ließ sich nicht starten. Schließe andere Programme, die sie benutzen, und öffne sie noch einmal.
probe-camera-gone = Die Kamera hat aufgehört. Öffne sie noch einmal.

probe-finding-time = Die Zeit des Feeds wird gesucht …
probe-aim = Halte den quadratischen Code in den Rahmen. Geh näher heran, wenn er klein ist.
probe-strange = Das ist nicht der Code des Testbilds.
probe-foreign = Die Zeit dieses Codes ist nicht die dieses Feeds. Folgt die Anzeige einem anderen?
probe-changed = Eine andere Anzeige oder Einstellung: es beginnt von vorn.
probe-seen = Der Code wird gesehen. Still halten. ({ $codes })
probe-seen-name = { $name } wird gesehen. Still halten. ({ $codes })

probe-delay = { $ms } ms ± { $doubt }
probe-ms = { $ms } ms
probe-unknown = nicht bekannt
probe-not-enough = Noch kein Ergebnis: { $codes } von { $enough } Codes.
probe-wavers = Noch kein Ergebnis: die Zahl schwankt noch. Still halten und näher herangehen, wenn der Code klein ist.
probe-early = Codes werden vor ihrer Zeit gesehen. Die Zeit des Feeds stimmt hier oder bei der Anzeige nicht; warte einen Moment oder lade die Seite neu.
probe-means = später, als es die Zeit des Feeds verlangt
probe-means-camera = später, als es die Zeit des Feeds verlangt, samt der Verzögerung der Kamera selbst
probe-means-reference = später als der schnelle Bildschirm
probe-propose = Starte die Anzeige dieser Wand mit der Option unten (gemessen, während sie { $now } ms voraus war). Sie verschiebt die Uhr und alle Bewegung; eine Wiederholung kann nicht gezeigt werden, bevor sie gerufen ist.
probe-propose-none = Es gibt nichts auszugleichen: diese Wand braucht kein --ahead-ms.
probe-propose-most = Diese Wand ist später, als eine Anzeige ausgleichen kann. Mit dem Äußersten geht die Uhr immer noch nach:

probe-tap-title = Vom Tipp eines Richters bis zur Wand
probe-tap-intro = Tippe wie ein Richter, etwa zehnmal, mit diesem Telefon dort, wo die Richter stehen. Ein Tipp fragt den Feed nach seiner Zeit und ändert nichts.
probe-tap = Tippen
probe-part-way = von diesem Telefon zum Feed
probe-part-tap = von einem Tipp auf diesem Telefon zum Feed
probe-part-journal = die Aufzeichnung des Feeds
probe-part-wall = Anzeige und Wand
probe-part-wall-camera = Anzeige und Wand, samt der Verzögerung der Kamera
probe-part-sum = vom Tipp bis zur Wand

probe-doubt-title = Was ungewiss ist
probe-camera-out = Dieser Browser sagt, wann jedes Bild aufgenommen wurde; die Verzögerung der Kamera, { $ms } ms, ist nicht in der Zahl. Bis zu einer Belichtung ist darin.
probe-camera-in = Dieser Browser sagt nicht, wann ein Bild aufgenommen wurde. Die Verzögerung der Kamera selbst, oft 30 bis 100 ms, ist in der Zahl.
probe-reference-intro = Um sie herauszunehmen, miss zuerst einen schnellen Bildschirm, etwa den eines Laptops mit dem Testbild, und behalte ihn. Die Wand wird dann mit demselben Telefon mit ihm verglichen.
probe-reference = Verglichen mit { $name }: { $ms } ms.
probe-keep = Das ist der schnelle Bildschirm: behalten
probe-drop = Vergessen
probe-doubt-rest = Der Weg vom Feed zur Anzeige ist nicht darin; über Kabel ist es etwa eine Millisekunde. Auch nicht, wie lange das Glas braucht, um einen Finger zu bemerken.
