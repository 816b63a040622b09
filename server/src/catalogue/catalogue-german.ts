/**
 * The catalogue's own words in German: what its cautions say and what is to be worn, how a state is brought about, who is qualified. Keyed by the
 * English text of catalogue.yaml, so that a text that a shop or a procedure wrote itself is never taken for one of them. The signal word decides
 * between 'will' and 'could' (ANSI Z535.6): 'wird' and 'kann'.
 */

/** English → German, whole texts. */
export const CATALOGUE_IN_GERMAN: Readonly<Record<string, string>> = {
  // --- cautions: batteries
  'A lead-acid battery holds acid and gives off explosive gas. Its posts can feed a short circuit of many hundred amperes.':
    'Eine Bleibatterie enthält Säure und gibt explosives Gas ab. Ihre Pole können einen Kurzschluss von vielen hundert Ampere speisen.',
  'An explosion, the acid or an arc could blind you or cause serious burns.':
    'Eine Explosion, die Säure oder ein Lichtbogen kann blind machen oder schwere Verbrennungen verursachen.',
  'Keep sparks, flames and metal jewellery away from the battery. Take the negative lead off first and put it on last. Rinse acid off at once with plenty of water.':
    'Funken, Flammen und Metallschmuck von der Batterie fernhalten. Die Minusleitung zuerst abnehmen und zuletzt anschließen. Säure sofort mit viel Wasser abspülen.',
  'The electrolyte is sulphuric acid.': 'Der Elektrolyt ist Schwefelsäure.',
  'Acid could blind you and could cause serious burns.': 'Säure kann blind machen und schwere Verätzungen verursachen.',
  'Keep your face away from the cells. Stay within 7.6 m of an eye wash. Rinse acid off at once with plenty of water.':
    'Das Gesicht von den Zellen fernhalten. Höchstens 7,6 m von einer Augendusche entfernt bleiben. Säure sofort mit viel Wasser abspülen.',
  'A battery gives off hydrogen. A spark at a post can set it off.': 'Eine Batterie gibt Wasserstoff ab. Ein Funke an einem Pol kann ihn zünden.',
  'The explosion could blind you and could cause serious burns from acid.': 'Die Explosion kann blind machen und durch Säure schwere Verätzungen verursachen.',
  'Keep the place well aired. Keep sparks and flames away. Do not connect or move a clip while current flows.':
    'Den Platz gut lüften. Funken und Flammen fernhalten. Keine Klemme anschließen oder bewegen, solange Strom fließt.',
  'A tool across the battery posts makes a short circuit.': 'Ein Werkzeug quer über den Batteriepolen macht einen Kurzschluss.',
  'The arc and the hot tool could cause serious burns.': 'Der Lichtbogen und das heiße Werkzeug können schwere Verbrennungen verursachen.',
  'Keep tools and metal jewellery away from the posts. Take the negative lead off first and put it on last.':
    'Werkzeug und Metallschmuck von den Polen fernhalten. Die Minusleitung zuerst abnehmen und zuletzt anschließen.',
  'The part is heavy and hard to hold.': 'Das Teil ist schwer und schlecht zu halten.',
  'Lifting it alone could cause a moderate injury to the back, hands or feet.': 'Es allein zu heben kann Rücken, Hände oder Füße mittelschwer verletzen.',
  'Do not lift it alone. Use a hoist or a second person.': 'Nicht allein heben. Ein Hebezeug oder eine zweite Person nehmen.',
  // --- cautions: moving parts and engines
  'Belts, fans, chains and shafts can move without notice while the guard is off.':
    'Riemen, Lüfter, Ketten und Wellen können sich unvermittelt bewegen, solange die Schutzabdeckung fehlt.',
  'A part could draw in a hand or crush it and cause serious injury.': 'Ein Teil kann eine Hand einziehen oder quetschen und schwer verletzen.',
  'Keep hands, hair and clothes away from parts that can move. Do not reach past the place of a guard.':
    'Hände, Haare und Kleidung von Teilen fernhalten, die sich bewegen können. Nicht über den Platz einer Schutzabdeckung hinausgreifen.',
  'A running engine has moving belts and fans, hot parts and exhaust gas with carbon monoxide.':
    'Ein laufender Motor hat bewegte Riemen und Lüfter, heiße Teile und Abgas mit Kohlenmonoxid.',
  'The parts or the gas could cause serious injury or death.': 'Die Teile oder das Gas können schwer verletzen oder töten.',
  'Keep hands, hair and clothes away from belts and fans. Do not touch the exhaust. Run the engine outside or with the exhaust extraction on.':
    'Hände, Haare und Kleidung von Riemen und Lüftern fernhalten. Den Auspuff nicht berühren. Den Motor im Freien oder mit eingeschalteter Abgasabsaugung laufen lassen.',
  'The starter turns the engine. A vehicle in gear moves.': 'Der Anlasser dreht den Motor. Ein Fahrzeug mit eingelegtem Gang bewegt sich.',
  'The fan, a belt or the vehicle could cause serious injury.': 'Der Lüfter, ein Riemen oder das Fahrzeug kann schwer verletzen.',
  'Keep everyone clear of the engine and the wheels. Do not crank with a gear engaged.':
    'Alle von Motor und Rädern fernhalten. Nicht mit eingelegtem Gang starten.',
  'Exhaust gas has carbon monoxide, which has no smell.': 'Abgas enthält Kohlenmonoxid, das nicht riecht.',
  'Breathing it could cause death.': 'Es einzuatmen kann töten.',
  'Run the engine outside or with the exhaust extraction on.': 'Den Motor im Freien oder mit eingeschalteter Abgasabsaugung laufen lassen.',
  'The machine can start by itself at any moment.': 'Die Maschine kann jederzeit von selbst anlaufen.',
  'Moving parts could crush a hand or cause other serious injury.': 'Bewegte Teile können eine Hand quetschen oder auf andere Weise schwer verletzen.',
  'Keep clear of moving parts unless the machine is isolated and locked.':
    'Von bewegten Teilen wegbleiben, es sei denn, die Maschine ist getrennt und gegen Einschalten gesichert.',
  'A part that runs under power does not stop when a hand is in it. A jam that comes free can start it by itself.':
    'Ein angetriebenes Teil bleibt nicht stehen, wenn eine Hand darin ist. Löst sich eine Verstopfung, kann es von selbst anlaufen.',
  'The part could draw in an arm or cut it off and cause death or serious injury.':
    'Das Teil kann einen Arm einziehen oder abtrennen und töten oder schwer verletzen.',
  'Do not reach in unless the machine is isolated, locked and at rest. Use a bar or a hook to clear a jam.':
    'Nicht hineingreifen, es sei denn, die Maschine ist getrennt, gegen Einschalten gesichert und steht still. Eine Verstopfung mit Stange oder Haken lösen.',
  'With its safety device bridged, tied or overridden the machine does not stop for a person.':
    'Ist die Schutzeinrichtung überbrückt, festgebunden oder umgangen, hält die Maschine für keinen Menschen an.',
  'It will kill or seriously injure the person whom the device would have saved.':
    'Sie wird die Person töten oder schwer verletzen, die die Einrichtung geschützt hätte.',
  'Keep everyone clear of the machine. Do not leave it while the device is out of action. Do not use it for work in that state.':
    'Alle von der Maschine fernhalten. Sie nicht verlassen, solange die Einrichtung außer Kraft ist. In diesem Zustand nicht mit ihr arbeiten.',
  // --- cautions: gravity
  'A vehicle with its brake released can roll.': 'Ein Fahrzeug mit gelöster Bremse kann rollen.',
  'It could run over a person and cause death or serious injury.': 'Es kann eine Person überrollen und töten oder schwer verletzen.',
  'Keep the wheels chocked and the area in front of and behind the vehicle clear.':
    'Die Unterlegkeile an den Rädern lassen und den Bereich vor und hinter dem Fahrzeug frei halten.',
  'A raised load or vehicle falls when a jack, hose or valve fails.':
    'Eine gehobene Last oder ein gehobenes Fahrzeug fällt, wenn ein Heber, ein Schlauch oder ein Ventil versagt.',
  'A person under it will be killed or seriously injured.': 'Eine Person darunter wird getötet oder schwer verletzt.',
  'Keep every part of your body out from under it until stands or props carry it. Do not trust a jack or a closed valve.':
    'Mit keinem Körperteil darunter gehen, bevor Unterstellböcke oder Stützen sie tragen. Auf keinen Heber und kein geschlossenes Ventil vertrauen.',
  'Steps, roofs and hoppers of vehicles are high and slippery.': 'Tritte, Dächer und Behälter von Fahrzeugen sind hoch und rutschig.',
  'A fall could cause death or serious injury.': 'Ein Sturz kann töten oder schwer verletzen.',
  'Keep three points of contact. Do not jump down.': 'Immer an drei Punkten Halt haben. Nicht hinunterspringen.',
  'The air in a hopper, tank or pit can lack oxygen or hold gas. What hangs on the walls can slide down.':
    'In einem Behälter, Tank oder Schacht kann Sauerstoff fehlen oder Gas stehen. Was an den Wänden hängt, kann abrutschen.',
  'A person inside will be killed by the air or buried before help comes.':
    'Eine Person darin wird von der Luft getötet oder verschüttet, bevor Hilfe kommt.',
  'Do not go in without a permit, a gas test, a lifeline and a second person outside. Keep the machine isolated and locked.':
    'Nicht ohne Erlaubnisschein, Gasmessung, Rettungsleine und eine zweite Person draußen hineingehen. Die Maschine getrennt und gegen Einschalten gesichert lassen.',
  // --- cautions: stored energy
  'The spring is held under a very high load.': 'Die Feder steht unter sehr hoher Spannung.',
  'The spring or the part it throws will cause death or serious injury when it comes free.':
    'Kommt die Feder frei, wird sie oder das Teil, das sie schleudert, töten oder schwer verletzen.',
  'Do not open a spring brake chamber. Stand beside the spring, never in line with it.':
    'Keinen Federspeicher-Bremszylinder öffnen. Neben der Feder stehen, nie in ihrer Richtung.',
  'Oil stays under pressure after the pump stops. A load on a cylinder keeps it there.':
    'Öl bleibt unter Druck, nachdem die Pumpe steht. Eine Last auf einem Zylinder hält ihn.',
  'Oil that sprays out or a load that drops could cause serious injury.': 'Herausspritzendes Öl oder eine fallende Last kann schwer verletzen.',
  'Do not open a line unless a gauge or a free control shows that the pressure is gone. Keep clear of the load.':
    'Keine Leitung öffnen, bevor ein Manometer oder ein frei gängiges Bedienteil zeigt, dass der Druck weg ist. Von der Last wegbleiben.',
  'A fine jet of fluid under high pressure passes through skin and gloves.': 'Ein feiner Flüssigkeitsstrahl unter hohem Druck dringt durch Haut und Handschuhe.',
  'Injected fluid could cost a limb or cause death, even when the wound looks small.':
    'Eingedrungene Flüssigkeit kann ein Glied kosten oder töten, auch wenn die Wunde klein aussieht.',
  'Do not feel for a leak with your hand. Go to a hospital at once after any jet on the skin.':
    'Nicht mit der Hand nach einem Leck tasten. Nach jedem Strahl auf die Haut sofort in ein Krankenhaus.',
  'Compressed air throws dirt, and a loose hose whips.': 'Druckluft schleudert Schmutz, und ein loser Schlauch schlägt um sich.',
  'Air or dirt in an eye, an ear or a wound could cause serious injury.': 'Luft oder Schmutz in Auge, Ohr oder Wunde kann schwer verletzen.',
  'Point the outlet away from people. Do not clean clothes or skin with air.':
    'Die Öffnung von Personen wegrichten. Kleidung und Haut nicht mit Luft reinigen.',
  'The tester puts a high test voltage on the circuit. The circuit can keep that charge.':
    'Das Prüfgerät legt eine hohe Prüfspannung an den Stromkreis. Der Stromkreis kann diese Ladung behalten.',
  'A shock could cause serious injury or death.': 'Ein Stromschlag kann schwer verletzen oder töten.',
  'Keep everyone off the circuit during the test. Do not touch a terminal until the tester shows that the charge is gone.':
    'Während der Prüfung alle vom Stromkreis fernhalten. Keine Klemme berühren, bevor das Prüfgerät zeigt, dass die Ladung weg ist.',
  'Capacitors keep a charge after the supply is off.': 'Kondensatoren behalten nach dem Abschalten eine Ladung.',
  'The charge will kill or seriously injure a person who touches the terminals.': 'Die Ladung wird eine Person, die die Klemmen berührt, töten oder schwer verletzen.',
  'Do not touch a terminal until the discharge time is over and a proved tester shows no voltage.':
    'Keine Klemme berühren, bevor die Entladezeit vorbei ist und ein geprüfter Spannungsprüfer keine Spannung zeigt.',
  // --- cautions: heat, fuel, substances
  'Exhaust and engine parts stay hot after the engine stops.': 'Auspuff und Motorteile bleiben heiß, nachdem der Motor steht.',
  'A touch could cause a minor or moderate burn.': 'Eine Berührung kann leichte oder mittelschwere Verbrennungen verursachen.',
  'Do not touch parts near the exhaust with bare hands.': 'Teile in der Nähe des Auspuffs nicht mit bloßen Händen berühren.',
  'A warm cooling system is under pressure. Coolant and steam spray out when it is opened.':
    'Ein warmes Kühlsystem steht unter Druck. Kühlmittel und Dampf spritzen heraus, wenn es geöffnet wird.',
  'Hot coolant could cause serious burns and could blind you.': 'Heißes Kühlmittel kann schwere Verbrühungen verursachen und blind machen.',
  'Do not open the system while it is too hot to rest a hand on. Keep your face away from the opening.':
    'Das System nicht öffnen, solange es zu heiß ist, um eine Hand aufzulegen. Das Gesicht von der Öffnung fernhalten.',
  'Spilled fuel and its vapour catch fire from a spark or a hot part.': 'Verschütteter Kraftstoff und sein Dampf entzünden sich an einem Funken oder einem heißen Teil.',
  'A fire could cause death or serious burns.': 'Ein Brand kann töten oder schwere Verbrennungen verursachen.',
  'Keep sparks, flames and hot parts away. Keep an extinguisher for fuel fires beside you. Wipe up spills at once.':
    'Funken, Flammen und heiße Teile fernhalten. Einen Löscher für Kraftstoffbrände bereithalten. Verschüttetes sofort aufwischen.',
  'Refrigerant under pressure freezes what it touches and drives air out of a pit.':
    'Kältemittel unter Druck lässt gefrieren, was es berührt, und verdrängt die Luft aus einer Grube.',
  'It could blind you, cause frostbite or suffocate you, and could cause death.': 'Es kann blind machen, Erfrierungen verursachen oder ersticken lassen und kann töten.',
  'Do not open the circuit unless the refrigerant is recovered. Do not let it escape into the air.':
    'Den Kreislauf nicht öffnen, bevor das Kältemittel abgesaugt ist. Es nicht in die Luft entweichen lassen.',
  'Dust of old linings can hold asbestos.': 'Staub alter Beläge kann Asbest enthalten.',
  'Breathing it could cause fatal disease.': 'Ihn einzuatmen kann eine tödliche Krankheit verursachen.',
  'Do not blow or brush the dust. Keep it wet or use an enclosed vacuum.':
    'Den Staub nicht abblasen und nicht abbürsten. Ihn nass halten oder eine geschlossene Absaugung benutzen.',
  'A restraint system can go off from a meter, a static spark or a knock.':
    'Ein Rückhaltesystem kann durch ein Messgerät, eine elektrostatische Entladung oder einen Stoß auslösen.',
  'An airbag that goes off beside you will cause death or serious injury.': 'Ein Airbag, der neben einer Person auslöst, wird sie töten oder schwer verletzen.',
  'Do not put a meter on a squib. Keep out of the path of the bag. Keep the wait that the label gives.':
    'Kein Messgerät an eine Zündpille legen. Aus der Bahn des Luftsacks bleiben. Die Wartezeit einhalten, die das Schild nennt.',
  'Sparks, flames and rays set fire to fuel, oil and dust, and blind unprotected eyes.':
    'Funken, Flammen und Strahlung entzünden Kraftstoff, Öl und Staub und blenden ungeschützte Augen.',
  'A fire or an explosion could cause death or serious burns.': 'Ein Brand oder eine Explosion kann töten oder schwere Verbrennungen verursachen.',
  'Keep fuel, oil, gas bottles and wiring clear. Do not heat or weld a closed vessel or a tank that held fuel. Keep an extinguisher and a fire watch beside you, and for 30 minutes afterwards.':
    'Kraftstoff, Öl, Gasflaschen und Leitungen fernhalten. Keinen geschlossenen Behälter und keinen Tank erhitzen oder schweißen, in dem Kraftstoff war. Einen Löscher und eine Brandwache bereithalten, auch 30 Minuten danach.',
  // --- cautions: electricity above the limits
  'The traction system is above 60 V DC and its capacitors keep a charge.':
    'Das Fahrantriebssystem liegt über 60 V Gleichspannung, und seine Kondensatoren behalten eine Ladung.',
  'A shock or an arc will kill or seriously injure a person.': 'Ein Stromschlag oder ein Lichtbogen wird eine Person töten oder schwer verletzen.',
  'Do not touch orange cables or their connectors until the system is isolated, locked and proved dead.':
    'Orangefarbene Leitungen und ihre Stecker nicht berühren, bevor das System getrennt, gegen Einschalten gesichert und als spannungsfrei nachgewiesen ist.',
  'The supply is above 30 V AC and can drive a very high short-circuit current.':
    'Die Versorgung liegt über 30 V Wechselspannung und kann einen sehr hohen Kurzschlussstrom treiben.',
  'Do not touch a conductor unless it is isolated, locked and proved dead. Keep fingers behind the guards of the probes.':
    'Keinen Leiter berühren, bevor er getrennt, gegen Einschalten gesichert und als spannungsfrei nachgewiesen ist. Die Finger hinter dem Griffschutz der Prüfspitzen halten.',
  // --- cautions: wheels
  'A tyre or a rim part flies off when it bursts during inflation.': 'Ein Reifen oder ein Felgenteil fliegt weg, wenn er beim Befüllen platzt.',
  'It will kill or seriously injure a person in its path.': 'Er wird eine Person in seiner Bahn töten oder schwer verletzen.',
  'Stand out of the path of the tyre. Do not inflate it outside a restraining device unless the wheel is on the vehicle. Use a clip-on chuck with an in-line valve and a long hose.':
    'Außerhalb der Bahn des Reifens stehen. Ihn nicht außerhalb einer Rückhaltevorrichtung befüllen, es sei denn, das Rad sitzt am Fahrzeug. Einen Klemmstecker mit Ventil in der Leitung und einen langen Schlauch benutzen.',
  'A wheel that comes off its studs is heavy and falls over.': 'Ein Rad, das von den Bolzen kommt, ist schwer und kippt um.',
  'It could crush a foot or a leg and cause serious injury.': 'Es kann einen Fuß oder ein Bein quetschen und schwer verletzen.',
  'Keep a hand or a wheel trolley on the wheel. Stand beside it, not in front of it.':
    'Das Rad mit der Hand oder einem Radheber halten. Daneben stehen, nicht davor.',

  // --- what is to be worn
  'face shield': 'Gesichtsschutz', 'acid gloves': 'säurefeste Handschuhe', apron: 'Schürze', 'safety glasses': 'Schutzbrille', gloves: 'Handschuhe',
  'safety shoes': 'Sicherheitsschuhe', 'close fitting clothes': 'eng anliegende Kleidung', 'hearing protection': 'Gehörschutz', 'hard hat': 'Schutzhelm',
  'insulating gloves': 'isolierende Handschuhe', 'fuel gloves': 'kraftstofffeste Handschuhe', respirator: 'Atemschutz', 'welding helmet': 'Schweißhelm',

  // --- how a state is brought about
  'Turn the isolator off.': 'Den Trennschalter ausschalten.',
  'Lock the isolator and keep the key.': 'Den Trennschalter abschließen und den Schlüssel behalten.',
  'Remove the lock.': 'Das Schloss abnehmen.',
  'Turn the isolator on.': 'Den Trennschalter einschalten.',
  'Fit your lock and tag to the isolating device.': 'Das eigene Schloss und Schild an der Trenneinrichtung anbringen.',
  'Keep the key with you.': 'Den Schlüssel bei sich behalten.',
  'Remove your lock and tag.': 'Das eigene Schloss und Schild abnehmen.',
  'Disconnect the battery negative lead.': 'Die Minusleitung der Batterie abklemmen.',
  'Connect the battery negative lead.': 'Die Minusleitung der Batterie anschließen.',
  'Disconnect the battery positive lead.': 'Die Plusleitung der Batterie abklemmen.',
  'Connect the battery positive lead.': 'Die Plusleitung der Batterie anschließen.',
  'Switch the battery charger on.': 'Das Batterieladegerät einschalten.',
  'Switch the battery charger off.': 'Das Batterieladegerät ausschalten.',
  'Turn the ignition on.': 'Die Zündung einschalten.',
  'Turn the ignition off.': 'Die Zündung ausschalten.',
  'Wait for the discharge time on the label.': 'Die Entladezeit auf dem Schild abwarten.',
  'Remove the service disconnect.': 'Den Wartungsstecker ziehen.',
  'Fit the service disconnect.': 'Den Wartungsstecker einsetzen.',
  'Start the engine.': 'Den Motor starten.',
  'Stop the engine.': 'Den Motor abstellen.',
  'Apply the parking brake.': 'Die Feststellbremse anziehen.',
  'Release the parking brake.': 'Die Feststellbremse lösen.',
  'Chock a wheel on both sides.': 'Ein Rad auf beiden Seiten mit Unterlegkeilen sichern.',
  'Remove the wheel chocks.': 'Die Unterlegkeile wegnehmen.',
  'Shift the gearbox to neutral.': 'Das Getriebe in Neutralstellung schalten.',
  'Lower the vehicle to the ground.': 'Das Fahrzeug auf den Boden ablassen.',
  'Fit the support under the load.': 'Die Stütze unter die Last setzen.',
  'Lower the load to its rest.': 'Die Last auf ihre Auflage ablassen.',
  'Remove the guard.': 'Die Schutzabdeckung abnehmen.',
  'Fit the guard.': 'Die Schutzabdeckung anbringen.',
  'Open the cover.': 'Den Deckel öffnen.',
  'Close the cover.': 'Den Deckel schließen.',
  'Stop the pump.': 'Die Pumpe abstellen.',
  'Move each control through all its positions.': 'Jedes Bedienteil durch alle Stellungen bewegen.',
  'Open the drain of each air tank until the air stops.': 'Das Entwässerungsventil jedes Luftbehälters öffnen, bis keine Luft mehr kommt.',
  'Let the engine cool until a hand can rest on the radiator hose.': 'Den Motor abkühlen lassen, bis eine Hand auf dem Kühlerschlauch liegen kann.',
  'Remove the coolant pressure cap.': 'Den Druckdeckel des Kühlsystems abnehmen.',
  'Fit the coolant pressure cap.': 'Den Druckdeckel des Kühlsystems aufsetzen.',

  // --- who is qualified
  'Person qualified for vehicle circuits above 60 V DC or 30 V AC': 'Person, qualifiziert für Fahrzeugstromkreise über 60 V Gleich- oder 30 V Wechselspannung',
  'Person qualified for work on or near live electrical parts': 'Person, qualifiziert für Arbeiten an oder nahe unter Spannung stehenden Teilen',
  'Certified technician for vehicle air conditioning': 'Fachkraft, zertifiziert für Fahrzeugklimaanlagen',
  'Person trained and authorised to enter confined spaces': 'Person, ausgebildet und beauftragt zum Einsteigen in Behälter und enge Räume',
  'Person trained on restraint systems': 'Person, ausgebildet an Rückhaltesystemen',
  'Person trained to service rim wheels': 'Person, ausgebildet für Arbeiten an Felgenrädern',
  'Person authorised to operate lifting equipment': 'Person, beauftragt zum Bedienen von Hebezeugen',
};
