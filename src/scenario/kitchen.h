/* The section `kitchen`: what a person's own kitchen does otherwise than the tables say. In a scenario, or in a file
 * named with --kitchen; nothing is looked for by itself. */
#ifndef THAW_SCENARIO_KITCHEN_H
#define THAW_SCENARIO_KITCHEN_H

#include "scenario/reader.h"
#include "scenario/scenario.h"
#include "scenario/writer.h"

/* Bounds of what a file may say and of what is learnt. */
#define THAW_KITCHEN_HEAT_LEAST  0.5
#define THAW_KITCHEN_HEAT_MOST   2.0
#define THAW_KITCHEN_CLOTH_LEAST 0.1
#define THAW_KITCHEN_CLOTH_MOST  10.0

/* Takes the place of what an earlier file said. */
void thaw_kitchen_read(const thaw_reader *reader, const yaml_node_t *node, thaw_shelf *shelf);
/* After everything else was read: into the specification. */
void thaw_kitchen_apply(thaw_scenario *scenario);
/* What the scenario uses of it, so that it reads back to the same; and the whole of it. */
void thaw_kitchen_write(thaw_writer *w, const thaw_scenario *scenario);
void thaw_kitchen_write_all(thaw_writer *w, const thaw_kitchen *kitchen);
/* The name by which a kitchen knows the scenario's cloth: that of its make, if it is a blend. */
const char *thaw_kitchen_cloth(const thaw_scenario *scenario);
/* What is applied to the conductivity of the scenario's cloth: 1 if nothing. */
double thaw_kitchen_conductivity(const thaw_scenario *scenario);

#endif
