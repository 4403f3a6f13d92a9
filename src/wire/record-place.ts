/**
 * Where in a pack something is, in words. Faults hold the record as its index from 0; a person is
 * given both the count from 1 and the JSON pointer (RFC 6901) of the place. Pure: no I/O, no clock.
 */
export const recordPlace = (record: number, field: string | null): string =>
  `record ${record + 1} (#/${record}${field === null ? '' : `/${field}`})`;
