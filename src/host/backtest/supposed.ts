/** What is supposed of a batch where its description says nothing, and the sentences that tell so. Pure. */
import type { BatchValues } from './batch-options.ts';
import type { DescribedBatch } from './described-batch.ts';

/** One hectolitre of drink and a quarter as much gas: only foretelling pressure depends on it. Chosen by us. */
export const supposedVolumeLitre = 125;
export const supposedHeadspaceShare = 0.2;

export const supposedOf = (
  batch: Omit<DescribedBatch, 'supposed'>,
  values: BatchValues,
): readonly string[] => {
  const isFermentation = batch.stage === 'fermentation';
  const list: (string | false)[] = [
    values.drink === undefined && 'No --drink was given: the batch is judged as an ale.',
    values.stage === undefined &&
      'No --stage was given: the whole record is judged as a fermentation.',
    isFermentation &&
      batch.originalGravity === null &&
      'No --og was given: the first readings stand for the original gravity.',
    isFermentation &&
      batch.expectedTerminalGravity === null &&
      batch.attenuationLimit === null &&
      'Neither --terminal nor --limit was given: what drinks of this kind usually reach stands for the estimate.',
    batch.temperatureBand === null &&
      'Neither --low nor --high was given: there is no temperature band to leave.',
    batch.ratedGaugePressurePascal === null &&
      'No --rated-bar was given: over-pressure is not judged. The rating stands on the nameplate.',
    values.volume === undefined &&
      `No --volume was given: ${supposedVolumeLitre} L with ${supposedVolumeLitre * supposedHeadspaceShare} L of headspace are supposed, on which only foretelling pressure depends.`,
    values.volume !== undefined &&
      values.headspace === undefined &&
      `No --headspace was given: a fifth of the volume, ${Number((batch.volumeLitre * supposedHeadspaceShare).toPrecision(4))} L, is supposed.`,
    batch.startedAt === null && 'No --started was given: the first row stands for the start.',
    batch.endedAt === null &&
      'No --ended was given: the clock stops at the last row, and silence after it is not judged.',
  ];
  return list.filter((sentence) => sentence !== false);
};
