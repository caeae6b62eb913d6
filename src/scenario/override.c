#include "scenario/override.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LONGEST_KEY 64

/* The first key of a path, and what follows it ("" at the end). False if it is empty or too long. */
static bool first_key(const char *path, char key[LONGEST_KEY], const char **rest)
{
    const size_t n = strcspn(path, ".");
    if (n == 0 || n >= LONGEST_KEY) {
        return false;
    }
    memcpy(key, path, n);
    key[n] = '\0';
    *rest = path[n] == '.' ? path + n + 1 : path + n;
    return true;
}

/* A scalar that stands nowhere in the file: faults in it belong to the file as a whole. 0 without memory. */
static int add_text(const thaw_reader *reader, const char *text)
{
    const int id = yaml_document_add_scalar(reader->document, NULL, (const yaml_char_t *)text, (int)strlen(text),
                                            YAML_PLAIN_SCALAR_STYLE);
    yaml_node_t *node = thaw_reader_node(reader, id);
    if (node) {
        node->start_mark.line = node->end_mark.line = (size_t)-1;
    }
    return id;
}

static yaml_node_pair_t *find_pair(const thaw_reader *reader, int map, const char *key)
{
    yaml_node_t *node = thaw_reader_node(reader, map);
    for (yaml_node_pair_t *p = node->data.mapping.pairs.start; p < node->data.mapping.pairs.top; p++) {
        const yaml_node_t *name = thaw_reader_node(reader, p->key);
        if (name && name->type == YAML_SCALAR_NODE && strcmp((const char *)name->data.scalar.value, key) == 0) {
            return p;
        }
    }
    return NULL;
}

/* Nodes may move when one is added, so they are held by number. Returns how many places took the value. */
static int put(const thaw_reader *reader, int id, const char *path, const char *value);

static int put_in_map(const thaw_reader *reader, int id, const char *path, const char *value)
{
    char key[LONGEST_KEY];
    const char *rest;
    if (!first_key(path, key, &rest)) {
        return 0;
    }
    yaml_node_pair_t *pair = find_pair(reader, id, key);
    if (*rest) {
        return pair ? put(reader, pair->value, rest, value) : 0;
    }
    const int text = add_text(reader, value);
    pair = find_pair(reader, id, key);
    if (text > 0 && pair) {
        pair->value = text;
        return 1;
    }
    const int name = text > 0 ? add_text(reader, key) : 0;
    return name > 0 && yaml_document_append_mapping_pair(reader->document, id, name, text);
}

static int put_in_list(const thaw_reader *reader, int id, const char *path, const char *value)
{
    char key[LONGEST_KEY], *end;
    const char *rest;
    const yaml_node_t *node = thaw_reader_node(reader, id);
    const int n = (int)(node->data.sequence.items.top - node->data.sequence.items.start);
    int taken = 0;
    if (!first_key(path, key, &rest)) {
        return 0;
    }
    const long one = strtol(key, &end, 10);
    const bool is_number = *end == '\0';
    for (int i = 0; i < n; i++) {
        const int item = thaw_reader_node(reader, id)->data.sequence.items.start[i];
        if (!is_number) {
            taken += put(reader, item, path, value);
        } else if (one == i + 1 && *rest) {
            taken += put(reader, item, rest, value);
        }
    }
    return taken;
}

static int put(const thaw_reader *reader, int id, const char *path, const char *value)
{
    const yaml_node_t *node = thaw_reader_node(reader, id);
    return !node                              ? 0
           : node->type == YAML_MAPPING_NODE  ? put_in_map(reader, id, path, value)
           : node->type == YAML_SEQUENCE_NODE ? put_in_list(reader, id, path, value)
                                              : 0;
}

void thaw_override_apply(const thaw_reader *reader, const yaml_node_t *root, const thaw_override *override)
{
    const int id = (int)(root - reader->document->nodes.start) + 1;
    if (put(reader, id, override->path, override->value) == 0) {
        thaw_faults_add(reader->faults, (thaw_place){0, 0}, "name keys of the file with dots between, as ice.kind",
                        "`%.80s`: leads to nothing in this scenario", override->path);
    }
}
