/** Carbon dioxide in the air of a room, from a steady stream of gas and from a sudden release. */
import { ok } from '../../result.ts';
import {
  afterSuddenRelease,
  airChangesToStayBelow,
  airLimits,
  roomAir,
} from '../../science/room-air.ts';
import { calculation } from './calculation.ts';
import { litre } from './drink-fields.ts';
import { given, ifKnown } from './field.ts';
import { airLimitValues, wellMixedRoom } from './source.ts';

export const roomCaution =
  'Carbon dioxide kills without warning, first near the floor and in pits. This is no gas detector: a certified monitor, ventilation, never entering alone, local codes and licensed practice decide.';

const level = { kind: 'number', unit: 'ppm', decimals: 0, sources: [wellMixedRoom] } as const;
const until = {
  kind: 'number',
  unit: 'h',
  decimals: 1,
  none: 'not reached',
  sources: [wellMixedRoom, airLimitValues],
} as const;

export const airOfRoom = calculation({
  name: 'room-air',
  title: 'Carbon dioxide in a room',
  purpose: 'How high carbon dioxide stands in a room into which fermenters vent, and how soon.',
  caution: roomCaution,
  inputs: {
    gasLitrePerHour: given({
      label: 'Gas let go',
      unit: 'L/h',
      measure: 'gas-flow',
      hint: 'Of all vessels that vent into the room, as gas at 20 °C and 1 atm.',
      example: 250,
    }),
    roomVolumeCubicMetre: given({ label: 'Volume of the room', unit: 'm3', example: 90 }),
    airChangesPerHour: given({
      label: 'Air changes',
      unit: 'per hour',
      hint: 'Rooms of fresh air each hour; 0 for a shut room.',
      example: 0.5,
    }),
    startPpm: ifKnown({
      label: 'Carbon dioxide at the start',
      unit: 'ppm',
      hint: 'Blank where the room was aired.',
      example: null,
    }),
    hours: given({ label: 'Time passed', unit: 'h', example: 8 }),
  },
  answers: {
    afterHoursPpm: { ...level, label: 'Carbon dioxide then' },
    settledPpm: { ...level, label: 'Settles at', none: 'rises without end' },
    oxygenShare: {
      kind: 'number',
      label: 'Oxygen then',
      unit: '',
      measure: 'share',
      typedAs: { unit: '%', ending: ['Share', 'Percent'] },
      decimals: 1,
      sources: [wellMixedRoom],
    },
    hoursToWorkingDayLimit: {
      ...until,
      label: 'Passes 5000 ppm, the limit for a working day, after',
    },
    hoursToShortTermLimit: {
      ...until,
      label: 'Passes 30 000 ppm, the limit for 15 minutes, after',
    },
    hoursToDangerousLimit: { ...until, label: 'Passes 40 000 ppm, dangerous at once, after' },
    airChangesToStayBelowLimit: {
      kind: 'number',
      label: 'Air changes that keep it below 5000 ppm',
      unit: 'per hour',
      decimals: 1,
      sources: [wellMixedRoom, airLimitValues],
    },
  },
  work: ({ hours, ...room }) => {
    const air = roomAir(room, hours);
    if (!air.ok) return air;
    const changes = airChangesToStayBelow(
      room.gasLitrePerHour,
      room.roomVolumeCubicMetre,
      airLimits.workingDayPpm,
    );
    if (!changes.ok) return changes;
    return ok({
      afterHoursPpm: air.value.afterHoursPpm,
      settledPpm: air.value.settledPpm,
      oxygenShare: air.value.afterHoursOxygenFraction,
      hoursToWorkingDayLimit: air.value.hoursToWorkingDayLimit,
      hoursToShortTermLimit: air.value.hoursToShortTermLimit,
      hoursToDangerousLimit: air.value.hoursToDangerousLimit,
      airChangesToStayBelowLimit: changes.value,
    });
  },
});

export const suddenRelease = calculation({
  name: 'sudden-release',
  title: 'Sudden release into a room',
  purpose:
    'Carbon dioxide in a shut room after a vessel or a cylinder has let go of its gas at once.',
  caution: roomCaution,
  inputs: {
    gasLitre: given({
      label: 'Gas let go',
      ...litre,
      hint: 'As gas at 20 °C and 1 atm: 1 kg of carbon dioxide is 544 L.',
      example: 130,
    }),
    roomVolumeCubicMetre: given({ label: 'Volume of the room', unit: 'm3', example: 12 }),
  },
  answers: {
    carbonDioxidePpm: { ...level, label: 'Carbon dioxide' },
  },
  work: ({ gasLitre, roomVolumeCubicMetre }) => {
    const ppm = afterSuddenRelease(gasLitre, roomVolumeCubicMetre);
    return ppm.ok ? ok({ carbonDioxidePpm: ppm.value }) : ppm;
  },
});
