/**
 * What a checklist has from the built-in catalogue, in German. A text that a shop or a procedure wrote itself stays as it stands: only whole texts of the
 * catalogue are known here. Records keep the English.
 */
import { CATALOGUE_IN_GERMAN } from '../catalogue/catalogue-german.ts';
import type { CautionSheet, QualificationSheet, StateChangeSheet } from '../run/checklist-document.ts';

/** What the catalogue says, in the language with that tag; English for all but 'de'. */
export function catalogueIn(language: string): CatalogueWords {
  return language === 'de' ? GERMAN : ENGLISH;
}

interface CatalogueWords {
  readonly caution: (caution: CautionSheet) => CautionSheet;
  readonly change: (change: StateChangeSheet) => StateChangeSheet;
  readonly qualification: (qualification: QualificationSheet) => QualificationSheet;
}

/** A caution whose sentences are all the catalogue's; of any other, what is to be worn. */
export function cautionInGerman<C extends CautionSheet>(caution: C): C {
  const { hazard, consequence, avoid } = caution;
  const wear = caution.wear.map(textInGerman);
  const sentences = [hazard, consequence, avoid].filter((text) => text !== undefined);
  // One caution in two languages is worse than one in the other language.
  if (!sentences.every(isOfCatalogue)) return { ...caution, wear };
  return {
    ...caution, wear,
    ...(hazard === undefined ? {} : { hazard: textInGerman(hazard) }),
    ...(consequence === undefined ? {} : { consequence: textInGerman(consequence) }),
    ...(avoid === undefined ? {} : { avoid: textInGerman(avoid) }),
  };
}

/** How a state is brought about, where all of it is the catalogue's. */
export function changeInGerman(change: StateChangeSheet): StateChangeSheet {
  const cautions = change.cautions.map(cautionInGerman);
  return { ...change, cautions, do: change.do.every(isOfCatalogue) ? change.do.map(textInGerman) : change.do };
}

function qualificationInGerman(qualification: QualificationSheet): QualificationSheet {
  return { ...qualification, title: textInGerman(qualification.title) };
}

const ENGLISH: CatalogueWords = { caution: (one) => one, change: (one) => one, qualification: (one) => one };
const GERMAN: CatalogueWords = { caution: cautionInGerman, change: changeInGerman, qualification: qualificationInGerman };

function isOfCatalogue(text: string): boolean {
  return Object.hasOwn(CATALOGUE_IN_GERMAN, text);
}

function textInGerman(text: string): string {
  return isOfCatalogue(text) ? (CATALOGUE_IN_GERMAN[text] ?? text) : text;
}
