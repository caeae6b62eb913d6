/* The least that is a run into a folder: next_batch FOLDER NAME writes one small file there, as every command does. */
#include <stdio.h>

#include "base/file.h"

int main(int argc, char **argv)
{
    thaw_error err = {0};
    if (argc != 3 || thaw_file_replace(argv[1], argv[2], "next\n", 5, &err) != THAW_OK) {
        fprintf(stderr, "next_batch: %s\n", err.text);
        return 1;
    }
    return 0;
}
