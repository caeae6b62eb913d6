/* A value put into a scenario's document in place of what the file says, before it is read. */
#ifndef THAW_SCENARIO_OVERRIDE_H
#define THAW_SCENARIO_OVERRIDE_H

#include "scenario/reader.h"
#include "thawprint/scenario.h"

/* Path: keys with dots between, "ice.kind", "fold.scrunch.to", "room.temperature"; a number picks an entry of a list
 * ("ice.2.mass"), without one every entry that has the keys is meant. The last key may be missing in the file where
 * what it belongs to is there: then it is added, and the reader says whether it is known. A path that leads nowhere
 * is a fault. */
void thaw_override_apply(const thaw_reader *reader, const yaml_node_t *root, const thaw_override *override);

#endif
