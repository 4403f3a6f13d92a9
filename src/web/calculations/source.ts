/**
 * Where the figures come from, as the page and the JSON answers say it: author, year, equation, and the
 * range in which it holds. The headers in science/ carry the same and more; what has no source says so.
 * Pure data.
 */
export type Source = {
  /** Who, when, which equation or table. */
  readonly source: string;
  /** Where it holds, how good it is, what was left out. */
  readonly holds: string;
};

const source = (text: string, holds: string): Source => ({ source: text, holds });

export const asbcCubic = source(
  'American Society of Brewing Chemists, Methods of Analysis, Wort-3: cubic fit of the Plato table, and its exact inverse by iteration',
  'Fitted from 0 to 30 °P; read here from gravity 0.96 to 1.17. Gravity is apparent, 20/20, weighed in air.',
);

export const nbsTable = source(
  'United States National Bureau of Standards, Circular C440 (1942), table 114, as a cubic fit',
  '0 to 40 °Bx; the fit departs from the table by 0.0009 °Bx rms.',
);

export const icumsaDensity = source(
  'ICUMSA SPS-4 (1998), polynomial of Bettin, Emmerich, Spieweck and Toche; water after Kell (1975)',
  'Sucrose up to 65 °P, 0 to 40 °C. A wort is read as if it were sucrose.',
);

export const glass = source(
  'Buoyancy of a hydrometer whose glass grows by 25e-6 of its volume per kelvin (ISO 649-1, from memory)',
  'Samples of 0 to 40 °C. The rise of liquid at the stem is left out; the sample must be free of gas.',
);

export const refractiveIndices = source(
  'Refractive index of sucrose and of ethanol in water, CRC Handbook (102nd ed.) and OIV Oeno 21/2004 table II, as cubics; both add up in one sample (assumption: no published table of both together)',
  '20 °C, up to 35 °Bx. The wort factor, 1.00 to 1.06 for most worts, is common practice without a source.',
);

export const oivTemperature = source(
  'OIV Compendium of Methods of Analysis, OIV-MA-AS2-02, table I, linear between its cells',
  '5 to 20 °C and up to 30 °Bx, for an instrument that does not compensate by itself. Below 10 °Bx the column of 10 is used.',
);

export const balling = source(
  "C. J. N. Balling's balance, after Nielsen, Kristiansen, Krieger Lassen and Erikstrøm: 2.0665 g of extract give 1 g of alcohol, 0.9565 g of carbon dioxide and 0.11 g of yeast; real extract = 0.1808 original + 0.8192 apparent",
  'Fitted to beers of 8 to 20 °P; taken from 1 to 38 °P. Beside a balance of densities the quotient gives up to 2 % more alcohol.',
);

export const asbcBeer6 = source(
  'American Society of Brewing Chemists, Methods of Analysis, Beer-6: real degree of fermentation, which counts the loss of mass',
  'As for the extracts it is made from.',
);

export const oimlR22 = source(
  'OIML R 22 (1975), general formula of Wagenbreth and Blanke; per cent by volume as Directive 76/766/EEC defines it, at 20 °C',
  '0 to 100 % vol. Pure ethanol weighs 789.24 kg/m³ at 20 °C.',
);

export const tabarie = source(
  "Tabarié's relation as OIV-MA-AS2-03B has it: the density of a drink is that of its alcohol in water plus that of its extract in water, less that of water",
  'At 20 °C and free of gas; the extract is counted as sucrose.',
);

export const massBalance = source(
  'Balance of masses: what goes in is there afterwards',
  'Holds without bound; the volume follows from the density.',
);

export const carroll = source(
  'Carroll, Slupsky and Mather, J. Phys. Chem. Ref. Data 20 (1991) 1201: carbon dioxide in water; as a real gas by the second virial coefficient of Weiss (1974), equation 6',
  'Water, about 2 %, 0 to 45 °C; stretched to -2 °C (assumption).',
);

export const drinkSolubility = source(
  "What a drink keeps of water's solubility: below 6 % vol a published table for beer (297 cells, -1 to 25 °C, origin not stated), above 10 % vol Regulation (EEC) 2676/90 chapter 37, smooth between (assumption)",
  'Up to 25 % vol and 300 g/L of extract. Published figures for one drink differ by 6 %, and so may the pressures.',
);

export const vapour = source(
  'Wagner and Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783, equation 1: vapour pressure of water',
  'Uncertain by 0.03 %. The vapour of alcohol, 0.4 kPa at 5 % vol and 20 °C, is left out.',
);

export const volumeOfGas = source(
  'Span and Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509: one volume is 1.97681 g/L, a litre of gas at 0 °C and 1 atm; 1.83934 g/L at 20 °C',
  'The real gas; the ideal one would give 1.96349 g/L.',
);

export const closedBalance = source(
  'Balance of carbon dioxide between liquid and headspace at rest; the liquid keeps its mass and grows as it warms',
  'Headspace of 1 to 90 % of the vessel, -2 to 45 °C, up to 12 bar of carbon dioxide. The give of the walls and the slow way to rest are left out.',
);

export const gasFromSugar = source(
  'Greatest yield: 0.514 g of carbon dioxide per g of sucrose or maltose by stoichiometry, nothing into yeast; likely yield 0.463 (Balling)',
  'A verdict takes the greatest, and counts a pressure within 6 % of the rating as too much.',
);

export const supersaturation = source(
  'What the liquid holds is counted at rest under its head pressure',
  'A fermenting liquid may hold up to a third more (common practice, no source).',
);

export const hydrostatics = source(
  'Hydrostatics: pressure = density × 9.80665 m/s² × depth (standard acceleration, CGPM 1901)',
  'Up to 30 m. The local change of the acceleration, 0.3 %, is left out.',
);

export const standardAir = source(
  'ISO 2533 standard atmosphere (1975): p = 101325 (1 - 2.25577e-5 h)^5.25588 Pa',
  '-400 to 4000 m. Weather moves it by some 3 %.',
);

export const linearProgramme = source(
  'Shares by linear programming (two-phase simplex) on contents per litre, the contraction put back until it stays',
  'The best shares lie deepest inside every window, counted in half-widths of the window.',
);

export const drawingOrder = source(
  'Drawing order: still before sparkling, larger before smaller (common practice, no source)',
  'Each line is rounded to the measure and the blend worked out again from the rounded lines.',
);

export const heatOfFermentation = source(
  'Heat per kg of extract: 560 kJ (Colombié et al. 2007, at second hand; Barth and Farber 2019) to 650 kJ (ASHRAE Refrigeration, from memory); specific heat 4.05 kJ/(kg K) (Briggs et al. 2004, at second hand)',
  'A band, since published figures differ by basis. Loss to the room is left out, so a real vessel warms more slowly.',
);

export const warmerIsFaster = source(
  'The earliest time lets yeast work 2.5 times as fast ten kelvin warmer (common practice, no source); the latest lets it slow down as the extract runs out',
  'A band between two simple courses, not a forecast of one fermentation.',
);

export const molecularShare = source(
  'OIV-MA-AS323-04C, equation 1: molecular share = 1 / (1 + 10^(pH - pK)), with the pK of 1.81 that the trade uses',
  'pH 2.5 to 4.5. It is the careful end: alcohol and warmth make more of it molecular.',
);

export const thermodynamicConstant = source(
  'OIV-MA-AS323-04C, table I: thermodynamic constant by alcohol and temperature, linear between its cells',
  '0 to 15 % vol, 20 to 40 °C. It is the other end: the salts of a wine pull the true value back.',
);

export const wellMixedRoom = source(
  'Balance of one well-mixed room: C(t) = C0 + G / (n V) (1 - e^(-n t)); oxygen falls by displacement; outdoor air 430 ppm (assumption for 2026)',
  'A mean over the room. Carbon dioxide is half again as heavy as air and gathers low (IPCS ICSC 0021): near the floor it can be many times this.',
);

export const airLimitValues = source(
  'NIOSH and OSHA: 5000 ppm over a working day; NIOSH and ACGIH: 30 000 ppm over 15 minutes; NIOSH: 40 000 ppm immediately dangerous (IDLH documentation, 1994)',
  'Local codes may ask for less.',
);

export const foodCode = source(
  'FDA Food Code 2009, 3-501.16, 3-501.17 and 3-501.19: cold at 5 °C or less, seven days with the day of making as the first, 4 h without cold or 6 h if begun at 5 °C and never above 21 °C; acid food at pH 4.6 (21 CFR 114.3)',
  'Straight lines between readings; time above 5 °C is added up and never given back. The local health authority says which rules bind.',
);

export const factors = source(
  'BIPM, SI brochure (2019), and NIST Special Publication 811 (2008), appendix B',
  'Exact by definition, but for mmHg.',
);
