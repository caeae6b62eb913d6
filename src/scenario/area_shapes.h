/* Areas written as shapes: `{ band: [10 %, 0 %, 10 %, 100 %, 3 cm] }`. */
#ifndef THAW_SCENARIO_AREA_SHAPES_H
#define THAW_SCENARIO_AREA_SHAPES_H

#include "model/specification.h"
#include "scenario/reader.h"

int thaw_shapes_count(void);
const char *thaw_shapes_word(int i);
const char *thaw_shapes_form(int i);

/* True and *area set if the mapping fits. */
bool thaw_shapes_read(const thaw_reader *reader, const yaml_node_t *node, const char *where, thaw_area *area);

typedef void thaw_value_writer(const thaw_units *, thaw_quantity, double, char *, size_t);
/* The shape as YAML; false for an area that has none but its name. */
bool thaw_shapes_write(const thaw_units *units, const thaw_area *area, thaw_value_writer *write_value, char *out,
                       size_t size);

#endif
