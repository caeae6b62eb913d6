/* Runs a target over files, without a fuzzer: replay FOLDER-OR-FILE... A crash or abort ends it and names the file. */
#define _POSIX_C_SOURCE 200809L

#include "fuzz.h"

#include <dirent.h>
#include <sys/stat.h>

#define LARGEST ((long)1 << 22)

static void replay_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    demand(file != NULL, "the file can be read", path);
    uint8_t *bytes = malloc((size_t)LARGEST);
    demand(bytes != NULL, "memory for the file", path);
    const size_t n = fread(bytes, 1, (size_t)LARGEST, file);
    fclose(file);
    fprintf(stderr, "%s\n", path); /* before, so that a crash has a name */
    LLVMFuzzerTestOneInput(bytes, n);
    free(bytes);
}

static int replay(const char *path)
{
    struct stat info;
    DIR *folder = stat(path, &info) == 0 && S_ISDIR(info.st_mode) ? opendir(path) : NULL;
    int n = 0;
    if (!folder) {
        replay_file(path);
        return 1;
    }
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char inner[4096];
        if (entry->d_name[0] != '.') {
            snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name);
            n += replay(inner);
        }
    }
    closedir(folder);
    return n;
}

int main(int argc, char **argv)
{
    int n = 0;
    for (int i = 1; i < argc; i++) {
        n += replay(argv[i]);
    }
    printf("%d inputs\n", n);
    return n > 0 ? 0 : 1;
}
