/* How many packets of which size hold what is needed. */
#ifndef THAW_STUDY_PACKETS_H
#define THAW_STUDY_PACKETS_H

#include "thawprint/supplies.h"

/* Cheapest if every size has a price, else with least left over; then with fewest packets. Counts into out[n].
 * Amounts are taken in steps of 0.1 g, need rounded up and packets down, so that the packets always suffice. */
thaw_status thaw_packets_choose(const thaw_packet *sizes, int n, double need_kg, int out[THAW_SUPPLIES_PACKETS],
                                thaw_error *err);

#endif
