/* A YAML text of one document: checked for depth and form, then handed to a reader of its root. */
#ifndef THAW_SCENARIO_DOCUMENT_H
#define THAW_SCENARIO_DOCUMENT_H

#include "scenario/reader.h"

typedef void thaw_root_reader(const thaw_reader *reader, const yaml_node_t *root, void *user);

/* `faults` gathers what is wrong; with any, THAW_ERR_SCENARIO and the report in `err`. */
thaw_status thaw_document_read(const char *text, size_t n, const thaw_units *units, thaw_root_reader *read, void *user,
                               thaw_faults *faults, thaw_error *err);

#endif
