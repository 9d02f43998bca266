/**
 * Every string that page, guide and log need, with the places that are filled in. A language is
 * complete when its file in `sounds-synth/texts/` has exactly these keys.
 *
 * @module
 */

/** A string with places to fill in, written `{name}`. */
interface TextLeaf {
  readonly kind: 'text';
  readonly slots: readonly string[];
}

/** Sentences or points, at least one, without places to fill in. */
interface ListLeaf {
  readonly kind: 'list';
}

const text: TextLeaf = { kind: 'text', slots: [] };
const list: ListLeaf = { kind: 'list' };
const textWith = (...slots: string[]): TextLeaf => ({ kind: 'text', slots });

/** Section, then key. */
export const TEXT_SHAPE = {
  common: {
    title: text,
    draft: text,
    approved: textWith('reference'),
    unreviewed: text,
    kit: textWith('code'),
    step: textWith('number'),
    stepOf: textWith('number', 'count'),
    callUs: text,
    phone: text,
    email: text,
    scanDay: text,
  },
  about: {
    title: text,
    lines: list,
    benefit: text,
  },
  cautions: {
    title: text,
    intro: text,
    items: list,
    neverTitle: text,
    never: list,
  },
  ready: {
    title: text,
    items: list,
  },
  volume: {
    title: text,
    steps: list,
    keep: text,
  },
  practice: {
    title: text,
    steps: list,
    missed: text,
  },
  stopping: {
    title: text,
    nowTitle: text,
    now: list,
    after: text,
    callTitle: text,
    call: list,
    emergency: text,
  },
  loudness: {
    farSofter: text,
    muchSofter: text,
    softer: text,
    littleSofter: text,
    same: text,
    littleLouder: text,
    louder: text,
  },
  change: {
    start: text,
    level: text,
    sounds: text,
    duration: text,
    onset: text,
    order: text,
  },
  page: {
    languageName: text,
    begin: text,
    next: text,
    back: text,
    guide: text,
    log: text,
    home: text,
    noScript: text,
    saveFirst: text,
    welcomeLines: list,
    cautionsNone: text,
    cautionsSome: text,
    askFirstTitle: text,
    askFirst: text,
    speakerTitle: text,
    speakerPhone: text,
    speakerComputer: text,
    speakerOwn: text,
    speakerTv: text,
    speakerHeadphones: text,
    headphonesNo: text,
    ownVolume: text,
    volumeCheckTitle: text,
    volumeCheck: text,
    otherSpeaker: text,
    showSteps: text,
    playReference: text,
    stopReference: text,
    volumeSet: text,
    volumeFirst: text,
    today: text,
    restDay: text,
    notYet: textWith('date'),
    scanDayPassed: text,
    whatComes: text,
    howLong: text,
    howLoud: text,
    talkLine: text,
    stairs: text,
    chooseLower: text,
    chooseStep: text,
    lockedStep: textWith('date'),
    lockedLater: text,
    askChild: text,
    askTitle: text,
    askWords: text,
    askTell: text,
    askStop: text,
    askWait: text,
    startNow: text,
    notToday: text,
    notTodayTitle: text,
    notTodayText: text,
    getReady: text,
    playing: text,
    soundNow: text,
    soundNext: text,
    lead: text,
    theEnd: text,
    quiet: text,
    timeLeft: textWith('time'),
    stop: text,
    pausedTitle: text,
    pausedText: text,
    goOn: text,
    finish: text,
    howTitle: text,
    stoppedTitle: text,
    stoppedText: text,
    askChildMark: text,
    markFine: text,
    markSome: text,
    markHard: text,
    scaleLow: text,
    scaleHigh: text,
    parentMark: text,
    signsTitle: text,
    signEars: text,
    signCried: text,
    signLeft: text,
    signFroze: text,
    worryTitle: text,
    worryYes: text,
    save: text,
    doneTitle: text,
    doneText: text,
    doneBack: text,
    playAgain: text,
    worryPageTitle: text,
    worryCleared: text,
    missingTitle: text,
    missingText: textWith('file'),
    missingFix: list,
    tryAgain: text,
    notStarted: text,
  },
  guide: {
    calendarTitle: text,
    calendarLead: text,
    doneColumn: text,
    dayColumn: text,
    dayNumber: textWith('number'),
    stepColumn: text,
    lengthColumn: text,
    loudColumn: text,
    newColumn: text,
    again: text,
    estimate: textWith('expected', 'low', 'high', 'dose'),
    doseUnder: textWith('dose'),
    raised: textWith('name', 'date', 'reason'),
    scanDayTitle: text,
    scanDayLead: text,
    logTitle: text,
    logLead: text,
    logDate: text,
    logStep: text,
    logVolume: text,
    logEnd: text,
    logChild: text,
    logChildFaces: text,
    logParent: text,
    logSigns: text,
    logNotes: text,
    logKey: text,
    stickersTitle: text,
    stickersLead: text,
    page: textWith('number', 'count'),
  },
} as const;

export type TextSection = keyof typeof TEXT_SHAPE;

/** The words of one language, in the same sections and keys. */
export type Words = {
  readonly [Section in TextSection]: {
    readonly [
      Key in keyof (typeof TEXT_SHAPE)[Section]
    ]: (typeof TEXT_SHAPE)[Section][Key] extends ListLeaf ? readonly string[] : string;
  };
};
