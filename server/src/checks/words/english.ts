/**
 * English for the wording checks. Our own lists, made for workshop procedures: common practice, no source. The rules behind them
 * (instructions as commands, one action each, 20 words at most) are those that ASD-STE100 publishes; its word lists are not used.
 */
import type { WordList } from './word-list.ts';

const COMMAND_VERBS = `
  activate add adjust agree aim align allow alternate answer apply arrange ask assemble assist attach avoid await
  back backprobe balance barricade bend blank bleed block blow bolt boost brace brake break bridge bring brush build burn bypass
  calculate calibrate call cancel cap carry catch centre center chain change charge check chock choose circulate clamp clean
  clear clip close collect combine come compare complete compress confirm connect consult contact contain continue control convert cool
  copy correct count couple cover crank crimp cross cut cycle
  deactivate decouple decrease deenergize de-energize de-energise deenergise defer deflate defrost degrease demagnetize demount deplete
  depress depressurize depressurise detach determine dial dig dilute dip direct disable disassemble disarm discard discharge disconnect
  disengage dismantle dismount dispose do drag drain draw dress drill drive drop dry dump duplicate
  earth ease eject eliminate empty enable end energize energise engage ensure enter equalize equalise erase establish estimate evacuate
  evaluate examine exchange exclude exercise exhaust expel expose extend extinguish extract
  fabricate face fasten feed feel fetch file fill filter find finish fit fix flag flash flatten flip float flush fold follow force form free fuel
  gain gather get give go grasp grease grind grip ground guard guide
  halt hammer hand handle hang have heat help hinge hoist hold hook hose
  identify idle ignite ignore illuminate immobilize immobilise increase indicate inflate inform inhibit initiate inject insert inspect install instruct
  insulate interchange interrupt investigate invert isolate
  jack jog join jump jumper keep key knock
  label latch lay lead leak-test lean learn leave let level lever lift light limit line link list listen load locate lock log look loop loosen lower
  lubricate
  maintain make manoeuvre maneuver mark mask match measure meet melt mix monitor mount move multiply
  neutralize neutralise nip note notify number
  observe obtain offer oil open operate order orient outline overlap override
  pack pad paint park part pass patch peel perform photograph pick pierce pin pinch place plan plug point polish position post pour practise
  practice preheat prepare press pressurize pressurise prevent prick prime print probe proceed program prop protect prove provide pry pull pulse pump punch
  purge push put
  quench quote
  rack raise ram rap ratchet reach read ready realign ream reapply rearrange reassemble reattach recall recharge reclaim recognize reconnect record
  recover recycle redo reduce reel re-engage refer refill refit refrigerate refuel regulate reinflate reinsert reinspect reinstall reinstate reject release relieve
  relight relocate remain remember remount remove render renew repack repair repeat replace replenish report reposition request require reroute rerun rescue
  reseal reseat reserve reset resolve rest restart restore restrain restrict resume retain retest retighten retorque retract retrieve retry return reuse reverse
  review revise rework rig ring rinse rock roll rotate route rub run
  sample sand save scan scrape scrap screen screw seal search seat secure see segregate select send separate service set settle shake sharpen shear shelter shield shift shim
  shine shorten shout show shut shut-off shutdown sign signal silence simulate sit siphon sketch skip slacken slide sling slip slow smear smell snap snip soak solder solve sort
  sound space splice split spray spread squeeze stabilize stabilise stack stagger stamp stand start state stay steady steam steer step stir stop store straighten strain strap strike
  strip stroke submerge substitute subtract suck summon supply support suspend swap sweep swing switch swivel synchronize
  tag take tap tape tell tension terminate test thaw thread throttle throw tie tighten tilt time tip top torque touch tow trace track train transfer transport
  travel treat trigger trim trip try tuck tug tune turn twist
  unblock unbolt unclip uncouple uncover undo unfold unhook uninstall unlatch unload unlock unpack unplug unscrew unseal unstrap untie unwind unwrap update use
  vacuum validate vent ventilate verify view visit void
  wait walk warm warn wash watch wear wedge weigh weld wet wheel wiggle wind wipe wire withdraw work wrap write
  zero zip
`;

const PARTS = `
  back block bolt brake bridge brush bypass cap centre center chain charge check chock clamp clip control cover crank cut cycle dial discharge drain drill drive drop
  earth exhaust face feed file fill filter fit flag flash flush force form frame fuel gain grip ground guard guide hammer hand handle hinge hoist hold hook hose idle jack jump jumper key
  label latch lead level lever lift light limit line link list load lock log loop mark mask mount number oil order outline pack pad paint park part patch pin place plan plug point
  position post press print probe program prop pump punch rack ram record recovery reel release repair report request reserve reset rest return reverse rig ring roll route run
  sample scrap screen screw seal search seat service set shake shear shield shift shim sign signal slide sling solder sound space splice split spray spread spring stack stand start state steam
  step stop store strain strap stroke supply support switch tag tap tape tension test thread throttle tie time tip top torque touch track train transfer transport travel trigger trim trip turn twist
  vacuum view wash watch wear wedge weld wheel wind wire work zero
`;

export const ENGLISH: WordList = {
  language: 'en',
  commandVerbs: words(COMMAND_VERBS),
  verbsThatAreParts: words(PARTS),
  beforeCommand: words(`
    do not never always again also then next now first second third finally last please slowly carefully gently firmly quickly immediately lightly
    fully partly partially manually visually briefly repeatedly simultaneously temporarily once twice evenly loosely securely progressively gradually
    thoroughly only just don't
  `),
  conditionOpeners: words(`
    if when whenever while with without before after once until unless where as at on in from for by using to during under within
    through on via starting beginning working standing looking wearing holding having beside near inside outside behind above below between for depending
    should provided
  `),
  afterVerb: words(`
    a an the this that these those it them its their your his her one two three four five six seven eight nine ten all any both each every another
    to at in on off out up down from for with until into onto over under away back again if that whether how what when where which
    and or no not only clear still
  `),
  determiners: words('a an the this that these those it them its their your each every both all another no one two three four five six'),
  statementVerbs: words(`
    is are was were be been has have had must should shall will would can could may might needs need does did comes goes lights
    shows reads opens closes runs turns stops starts works leaks stays remains moves falls rises becomes gets makes appears isn't aren't
    cannot can't won't doesn't means lies hangs looks sits fits
  `),
  saidOfThings: /\p{L}{2,}ed$/u,
  actionJoiners: words('and then'),
  prohibitions: ['do not', "don't", 'never'],
  notAnAction: words('see refer use keep note leave allow let ensure make remember do avoid stay'),
  doneTogether: new Set(['press and hold', 'push and turn', 'push and hold', 'pull and hold', 'hold and turn', 'lift and hold', 'press and turn']),
  sameTime: words('while whilst until as'),
  vaguePhrases: new Map([
    ['as necessary', 'Say when it is necessary, and how much.'],
    ['where necessary', 'Say where it is necessary.'],
    ['when necessary', 'Say when it is necessary.'],
    ['if necessary', 'Say what makes it necessary, or ask it in a step of its own.'],
    ['as required', 'Say when it is required, and how much.'],
    ['if required', 'Say what requires it, or ask it in a step of its own.'],
    ['where required', 'Say where it is required.'],
    ['as needed', 'Say when it is needed, and how much.'],
    ['if needed', 'Say what makes it needed, or ask it in a step of its own.'],
    ['where needed', 'Say where it is needed.'],
    ['as appropriate', 'Say which one, and when.'],
    ['where appropriate', 'Say where.'],
    ['where applicable', 'Say to which equipment it applies: a fact with `only_if` does that.'],
    ['if applicable', 'Say to which equipment it applies: a fact with `only_if` does that.'],
    ['as applicable', 'Say to which equipment it applies: a fact with `only_if` does that.'],
    ['if possible', 'Say what to do where it is not possible.'],
    ['where possible', 'Say what to do where it is not possible.'],
    ['properly', 'Say what can be seen, heard or measured when it is right.'],
    ['proper', 'Say what can be seen, heard or measured when it is right.'],
    ['correctly', 'Say what can be seen, heard or measured when it is right.'],
    ['appropriately', 'Say which one, or how.'],
    ['appropriate', 'Say which one.'],
    ['adequately', 'Say how much is enough.'],
    ['adequate', 'Say how much is enough.'],
    ['sufficiently', 'Say how much is enough.'],
    ['sufficient', 'Say how much is enough.'],
    ['satisfactory', 'Say what can be seen, heard or measured when it is right.'],
    ['satisfactorily', 'Say what can be seen, heard or measured when it is right.'],
    ['acceptable', 'Give the limit.'],
    ['excessive', 'Give the limit.'],
    ['excessively', 'Give the limit.'],
    ['reasonable', 'Give the limit.'],
    ['reasonably', 'Give the limit.'],
    ['suitable', 'Say which one, or what it must have.'],
    ['suitably', 'Say which one, or how.'],
    ['in good condition', 'Say what to look for: cracks, wear, leaks.'],
    ['in good order', 'Say what to look for: cracks, wear, leaks.'],
    ['good working order', 'Say what it must do.'],
    ['etc', 'Write out the rest of the list.'],
    ['and so on', 'Write out the rest of the list.'],
    ['and the like', 'Write out the rest of the list.'],
    ['from time to time', 'Say how often.'],
    ['periodically', 'Say how often.'],
    ['regularly', 'Say how often.'],
    ['occasionally', 'Say how often.'],
    ['a few minutes', 'Give the time.'],
    ['a few seconds', 'Give the time.'],
    ['a short time', 'Give the time.'],
    ['a short while', 'Give the time.'],
    ['a while', 'Give the time.'],
    ['some time', 'Give the time.'],
    ['for a bit', 'Give the time.'],
    ['a couple of', 'Give the number.'],
    ['a few times', 'Give the number.'],
    ['several times', 'Give the number.'],
    ['a certain', 'Say which.'],
    ['tight enough', 'Give the torque.'],
    ['long enough', 'Give the time.'],
    ['hot enough', 'Give the temperature.'],
    ['high enough', 'Give the limit.'],
    ['low enough', 'Give the limit.'],
    ['check ok', 'Say what is to be checked, and what is right.'],
    ['checks ok', 'Say what can be seen, heard or measured when it is right.'],
    ['is ok', 'Say what can be seen, heard or measured when it is right.'],
    ['are ok', 'Say what can be seen, heard or measured when it is right.'],
    ['looks ok', 'Say what to look for.'],
    ['look ok', 'Say what to look for.'],
    ['works ok', 'Say what it must do.'],
    ['looks good', 'Say what to look for.'],
    ['looks fine', 'Say what to look for.'],
    ['is fine', 'Say what can be seen, heard or measured when it is right.'],
    ['seems', 'Say what is seen, heard or measured.'],
    ['use common sense', 'Say what to do.'],
    ['use good judgement', 'Say what to do.'],
    ['use your judgement', 'Say what to do.'],
    ['as usual', 'Say how.'],
    ['in the usual way', 'Say how.'],
    ['as normal', 'Say how.'],
  ]),
  verdictPhrases: new Set([
    'looks good', 'looks fine', 'looks ok', 'look ok', 'works ok', 'is ok', 'are ok', 'is fine', 'in good condition', 'in good order', 'good working order', 'acceptable',
    'satisfactory', 'adequate', 'sufficient', 'excessive',
  ]),
  vagueAnswers: new Map([
    ['ok', 'Name what is seen, so that two people give the same answer: tight and dry, lit, at the mark.'],
    ['okay', 'Name what is seen, so that two people give the same answer: tight and dry, lit, at the mark.'],
    ['not ok', 'Name what is seen, so that two people give the same answer: loose, dark, below the mark.'],
    ['good', 'Name what is seen, so that two people give the same answer: tight and dry, lit, at the mark.'],
    ['bad', 'Name what is seen, so that two people give the same answer: loose, dark, below the mark.'],
    ['fine', 'Name what is seen, so that two people give the same answer: tight and dry, lit, at the mark.'],
    ['maybe', 'Name what is seen, so that two people give the same answer.'],
    ['so so', 'Name what is seen, so that two people give the same answer.'],
  ]),
  stopsInside: words('no nos fig figs approx e.g i.e max min dia incl vs cf pos ref refs para sec dept nom temp mm cm vol p pp st dr mr mrs ca'),
  knownAbbreviations: words('AC DC LED OK CAT ID PC USB PDF TV ISO IEC EN DIN ANSI SAE NIST OSHA CFR UN EU US UK SI RPM PSI NPT PTFE PVC AM PM GPS'),
  panelWords: words(`
    ON OFF START STOP RUN RESET AUTO MAN MANUAL OPEN CLOSE CLOSED UP DOWN IN OUT LEFT RIGHT HIGH LOW MAX MIN FULL EMPTY HOLD TEST MODE SET READY FAULT ALARM
    POWER MAIN EMERGENCY NEUTRAL PARK DRIVE REVERSE FORWARD FAST SLOW LOCK UNLOCK DANGER WARNING CAUTION NOTICE NOT DO AND OR NO YES ALL ONLY NEVER ALWAYS
    BEFORE AFTER LOAD HOT COLD AIR OIL WATER FUEL BATTERY BRAKE LIFT RAISE LOWER RANGE ZERO ENTER CANCEL BACK NEXT PASS FAIL LIVE DEAD POS NEG COM
  `),
  sameThing: [
    ['tyre', 'tire'], ['windscreen', 'windshield'], ['petrol', 'gasoline'], ['kerb', 'curb'], ['mudguard', 'fender'], ['earthing', 'grounding'],
    ['earth strap', 'ground strap'], ['earth cable', 'ground cable'], ['earth lead', 'ground lead'], ['earth point', 'ground point'], ['earth wire', 'ground wire'],
    ['number plate', 'license plate'], ['paraffin', 'kerosene'], ['gearbox oil', 'transmission oil'], ['indicator lamp', 'turn signal lamp'],
    ['tail lift', 'liftgate'], ['handbrake', 'parking brake'], ['hand brake', 'parking brake'], ['battery switch', 'battery isolator'], ['anticlockwise', 'counterclockwise'],
    ['silencer', 'muffler'], ['spark plug lead', 'ignition cable'], ['propshaft', 'driveshaft'], ['tail-lift', 'lift gate'],
  ],
  documentWords: ['diagram', 'drawing', 'manual', 'sheet', 'document', 'bulletin', 'schematic', 'chart', 'table', 'report', 'data sheet', 'circuit diagram'],
  limitPhrases: [
    'at least', 'at most', 'more than', 'less than', 'no more than', 'not more than', 'no less than', 'not less than', 'above', 'below', 'over', 'under', 'exceed', 'exceeds',
    'higher than', 'lower than', 'greater than', 'must be', 'must read', 'must show', 'should be', 'should read', 'should show', 'shall be', 'minimum', 'maximum', 'limit is', 'limit of',
    'between', 'minimum of', 'maximum of',
  ],
  limitPhrasesAfter: [
    'or more', 'or less', 'or higher', 'or lower', 'or above', 'or below', 'or over', 'or under', 'or better', 'and more', 'and above', 'and over', 'and below', 'and under', 'and up',
    'and less', 'minimum', 'maximum', 'at least', 'at most', 'at the least', 'at the most',
  ],
  verdictWords: words(`
    worn bad faulty defective unserviceable serviceable unfit unsafe dangerous good sound fails fail failed passes pass passed scrap reject rejected condemn condemned
    replace replaced renew renewed discard discarded overhaul
  `),
  settingVerbs: words('set preset adjust dial'),
  toolsSetToLimit: ['wrench', 'spanner', 'torque driver', 'screwdriver'],
  judgingVerbs: words('check verify make ensure confirm see expect test'),
  conditionWords: words('if when whenever once until till unless while before after as soon'),
};

function words(text: string): ReadonlySet<string> {
  return new Set(text.trim().split(/\s+/u));
}
