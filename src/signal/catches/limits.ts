/** Every number the detector works with, in one place. Origin: measurement.md 3, then tuned on simulated seeds below 1000. */
export const limits = {
  /** Slope window: 1.2 s and 0.25 s for each gram of display step beyond the first, at most 2.5 s, at least six readings. */
  window_s: 1.2,
  windowPerStep_s_per_kg: 250,
  windowMost_s: 2.5,
  windowLeastReadings: 6,
  /** Start: slope above the larger of 2 g/s and five idle standard deviations, held. */
  leastFlow_kg_per_s: 0.002,
  idleSds: 5,
  /** Wind: above this threshold the slope looks back twice as long, up to four times; below the other it returns. */
  windyAbove_kg_per_s: 0.006,
  calmBelow_kg_per_s: 0.0025,
  mostPatience: 4,
  armHold_s: 0.6,
  /** Steeper than most water: rather a push, so wait a little longer, s. */
  pushLike_kg_per_s: 0.08,
  armHoldPushLike_s: 1,
  disarmHold_s: 0.4,
  /** Sure after this long since the back-dated start, on the slope of the last 1.5 s and a real rise. */
  confirmAfter_s: 2.7,
  confirmSlope_s: 1.5,
  confirmRise_kg: 0.025,
  /** Stop: below 0.35 of the fill's slope, held; above 0.6 of it within 2 s: the same catch goes on. */
  stopBelow: 0.35,
  stopHold_s: 0.5,
  /** And the level must lie this much water below the line, s. */
  stopShort_s: 0.3,
  stopForSure_s: 2,
  againAbove: 0.6,
  againBelow: 1.8,
  /** The same, judged late over 2.5 s. */
  againAtLeast: 0.45,
  againAtMost: 1.65,
  againWithin_s: 2,
  riseHold_s: 0.4,
  /** Water that began again sooner than this after the stop, as it turns out, never was off. */
  joinedWithin_s: 0.8,
  joinedStepped_s: 1.1,
  /** Or within this, if it is as much water as if it had run on (s), at the same pace (share). */
  joinedLooksBack_s: 2.3,
  joinedMissing_s: 0.8,
  joinedPace: 0.3,
  /** More water than this missing, s: it was off, whatever the edges say. */
  apartMissing_s: 1.8,
  /** So much worse must "it ran all the time" fit before water was off; and nearer than this is worth a wait. */
  offEvidence: 30,
  offUnsure: 25,
  offForSure: 60,
  onLine_s: 0.8,
  /** Rather a jump between two lines than a level between them: so much worse at most (divided by the blocks' period), stood so long. */
  steppedWorse_s: 6,
  steppedStood_s: 1.3,
  steppedClear_s: 0.3,
  /** Evidence of a plateau of 2.5 s, divided by the period of the blocks. */
  offPerPlateau_s: 11,
  againHold_s: 1.5,
  againSlope_s: 0.9,
  /** Closed: flat this long and this long after the stop, or after the last. */
  flatFor_s: 1.5,
  closeAfter_s: 2,
  closeAtLast_s: 8,
  frozenWait_s: 6,
  flatSlope_kg_per_s: 0.0015,
  flatOfFlow: 0.12,
  /** Edges are sought this far to each side. */
  edgeSearch_s: 1.5,
  /** Lift and replacement. */
  lift_kg: 0.03,
  liftHold_s: 0.5,
  liftLooksBack_s: 2.5,
  /** So much of what stood there may still press on the platform when the pail is off it. */
  liftedShare: 0.12,
  /** Back on the level from before the lift for so long: it was only a knock upwards. */
  neverLifted_s: 0.4,
  /** And if water rises from that level, it left it no longer ago than this, s. */
  knockedAway_s: 5,
  knockedRise_s: 1.5,
  replaced_kg: 0.04,
  replacedSteady_s: 1.2,
  replacedAtLast_s: 3,
  /** After a lift what shows may still be the hand, for so long. */
  awayRings_s: 2,
  /** A knock: told so long after it if the water still runs, or if it came so long before the stop, s. */
  knockSure_s: 2,
  knockBeforeStop_s: 0.5,
  /** Rejection of what is not water. */
  shortest_s: 4.5,
  /** Shorter than the time it takes to be sure: two pushes in a row. */
  pushAtMost_s: 2.2,
  settledShare: 0.7,
  pushedShare: 0.3,
  crookedShare: 0.08,
  seenBeforeWithin_s: 8,
  retractWithin_s: 20,
  retractHold_s: 1,
  /** No number for this long is an over-range; one missing number is nothing. */
  nullFor_s: 0.45,
  /** A hole in the times that nobody announced. */
  hole_s: 1.5,
  holeReadings: 6,
  /** Lost lines over a shorter hole than this are only a warning. */
  shortHole_s: 0.35,
  shortHoleReadings: 3.6,
  /** After a restart: flat this long before water can be heard, so that water already running has no false start. */
  restartQuiet_s: 0.8,
  restWithin_s: 2.4,
  /** Risen from the first reading on for so long: water that ran before. */
  runsFromStart_s: 3.5,
  runsFromStartAtMost_s: 8,
  tareHold_s: 0.7,
  frozen_s: 2,
  /** Held so long, and for five steps of water, it was no chance; the jump afterwards proves it. */
  heldLeast_s: 0.9,
  frozenShare: 0.25,
  /** A jet's push of this much, and three steps, must be seen to go when the water goes. */
  pushSeen_kg: 0.005,
  /** With readings further apart than this the water of one of them is as much as the push, s. */
  pushSeenWithin_s: 0.3,
  /** Push of a jet for its flow, s: v/g of 24 m/s is 2.4 s; more than this is no jet. */
  jetMost_s: 4.5,
  coarseStep_kg: 0.0049,
} as const;
