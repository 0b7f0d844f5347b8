#include "faulty_files.hpp"

#include <csignal>
#include <new>
#include <sqlite3.h>
#include <stdexcept>

namespace slotwitness::journal::test {

namespace {

using Fault = FaultyFiles::Fault;

/// SQLite calls plain functions: what they need stands here.
struct Plan {
    sqlite3_vfs* real = nullptr;
    bool armed = false;
    Fault fault = Fault::io_error;
    long call = 0;
    bool lasting = false;
    bool struck = false;
    std::vector<FaultyFiles::Call> calls;
};
Plan plan; // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)

struct File {
    sqlite3_file base; ///< SQLite finds our methods here
    sqlite3_file* real;
    const char* name;
};
File& ours(sqlite3_file* file) {
    return *reinterpret_cast<File*>(file);
}
sqlite3_file* real(sqlite3_file* file) {
    return ours(file).real;
}

/// Whether this call fails. A killing fault does not return.
bool strikes(const char* name, const char* file, bool is_write) {
    plan.calls.push_back({name, file != nullptr ? file : ""});
    const bool counts = is_write || plan.fault == Fault::io_error || plan.fault == Fault::kill;
    if (!plan.armed || !counts)
        return false;
    const long left = plan.call--;
    if (left > 0 || (left < 0 && !plan.lasting))
        return false;
    plan.struck = true;
    if (plan.fault == Fault::kill)
        ::raise(SIGKILL);
    return true;
}
bool strikes(const char* name, sqlite3_file* file) {
    return strikes(name, ours(file).name, false);
}

int x_close(sqlite3_file* f) {
    return real(f)->pMethods->xClose(real(f));
}
int x_read(sqlite3_file* f, void* to, int amount, sqlite3_int64 at) {
    return strikes("read", f) ? SQLITE_IOERR_READ
                              : real(f)->pMethods->xRead(real(f), to, amount, at);
}
int x_write(sqlite3_file* f, const void* from, int amount, sqlite3_int64 at) {
    if (!strikes("write", ours(f).name, true))
        return real(f)->pMethods->xWrite(real(f), from, amount, at);
    if (plan.fault == Fault::io_error)
        return SQLITE_IOERR_WRITE;
    real(f)->pMethods->xWrite(real(f), from, amount / 2, at);
    if (plan.fault == Fault::tear)
        ::raise(SIGKILL);
    return SQLITE_FULL;
}
int x_truncate(sqlite3_file* f, sqlite3_int64 size) {
    return strikes("truncate", f) ? SQLITE_IOERR_TRUNCATE
                                  : real(f)->pMethods->xTruncate(real(f), size);
}
int x_sync(sqlite3_file* f, int flags) {
    return strikes("sync", f) ? SQLITE_IOERR_FSYNC : real(f)->pMethods->xSync(real(f), flags);
}
int x_file_size(sqlite3_file* f, sqlite3_int64* size) {
    return strikes("size", f) ? SQLITE_IOERR_FSTAT : real(f)->pMethods->xFileSize(real(f), size);
}
int x_lock(sqlite3_file* f, int level) {
    return strikes("lock", f) ? SQLITE_IOERR_LOCK : real(f)->pMethods->xLock(real(f), level);
}
int x_unlock(sqlite3_file* f, int level) {
    return real(f)->pMethods->xUnlock(real(f), level);
}
int x_check_reserved_lock(sqlite3_file* f, int* out) {
    return strikes("check lock", f) ? SQLITE_IOERR_CHECKRESERVEDLOCK
                                    : real(f)->pMethods->xCheckReservedLock(real(f), out);
}
int x_file_control(sqlite3_file* f, int op, void* argument) {
    return real(f)->pMethods->xFileControl(real(f), op, argument);
}
int x_sector_size(sqlite3_file* f) {
    return real(f)->pMethods->xSectorSize(real(f));
}
int x_device_characteristics(sqlite3_file* f) {
    return real(f)->pMethods->xDeviceCharacteristics(real(f));
}
int x_shm_map(sqlite3_file* f, int region, int size, int extend, void volatile** out) {
    return strikes("map shared memory", f)
               ? SQLITE_IOERR_SHMMAP
               : real(f)->pMethods->xShmMap(real(f), region, size, extend, out);
}
int x_shm_lock(sqlite3_file* f, int offset, int count, int flags) {
    // Letting go of a lock does not fail.
    if ((flags & SQLITE_SHM_LOCK) != 0 && strikes("lock shared memory", f))
        return SQLITE_IOERR_SHMLOCK;
    return real(f)->pMethods->xShmLock(real(f), offset, count, flags);
}
void x_shm_barrier(sqlite3_file* f) {
    real(f)->pMethods->xShmBarrier(real(f));
}
int x_shm_unmap(sqlite3_file* f, int remove) {
    return real(f)->pMethods->xShmUnmap(real(f), remove);
}
int x_fetch(sqlite3_file* f, sqlite3_int64 at, int amount, void** out) {
    return real(f)->pMethods->xFetch(real(f), at, amount, out);
}
int x_unfetch(sqlite3_file* f, sqlite3_int64 at, void* page) {
    return real(f)->pMethods->xUnfetch(real(f), at, page);
}

constexpr sqlite3_io_methods methods = {3,
                                        x_close,
                                        x_read,
                                        x_write,
                                        x_truncate,
                                        x_sync,
                                        x_file_size,
                                        x_lock,
                                        x_unlock,
                                        x_check_reserved_lock,
                                        x_file_control,
                                        x_sector_size,
                                        x_device_characteristics,
                                        x_shm_map,
                                        x_shm_lock,
                                        x_shm_barrier,
                                        x_shm_unmap,
                                        x_fetch,
                                        x_unfetch};

int x_open(sqlite3_vfs*, sqlite3_filename name, sqlite3_file* file, int flags, int* out_flags) {
    File& opened = *new (file) File{};
    if (strikes("open", name, false))
        return SQLITE_CANTOPEN;
    opened.name = name;
    opened.real = reinterpret_cast<sqlite3_file*>(&opened + 1);
    const int result = plan.real->xOpen(plan.real, name, opened.real, flags, out_flags);
    if (opened.real->pMethods != nullptr)
        opened.base.pMethods = &methods;
    return result;
}
int x_delete(sqlite3_vfs*, const char* name, int sync_folder) {
    return strikes("delete", name, false) ? SQLITE_IOERR_DELETE
                                          : plan.real->xDelete(plan.real, name, sync_folder);
}
int x_access(sqlite3_vfs*, const char* name, int flags, int* out) {
    return strikes("access", name, false) ? SQLITE_IOERR_ACCESS
                                          : plan.real->xAccess(plan.real, name, flags, out);
}

sqlite3_vfs shim; // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)

} // namespace

FaultyFiles::FaultyFiles() {
    plan = Plan{};
    plan.real = sqlite3_vfs_find(nullptr);
    if (plan.real == nullptr || plan.real == &shim)
        throw std::logic_error("one object of faulty files at a time");
    // What is not replaced goes straight to the usual functions; they do not look at which VFS
    // calls them.
    shim = *plan.real;
    shim.szOsFile += static_cast<int>(sizeof(File));
    shim.zName = "faulty";
    shim.xOpen = x_open;
    shim.xDelete = x_delete;
    shim.xAccess = x_access;
    sqlite3_vfs_register(&shim, 1);
}

FaultyFiles::~FaultyFiles() {
    sqlite3_vfs_unregister(&shim);
    sqlite3_vfs_register(plan.real, 1);
}

void FaultyFiles::arm(Fault fault, long call, bool lasting) {
    plan.armed = true;
    plan.fault = fault;
    plan.call = call;
    plan.lasting = lasting;
    plan.struck = false;
}
void FaultyFiles::disarm() {
    plan.armed = false;
}
bool FaultyFiles::struck() const {
    return plan.struck;
}
const std::vector<FaultyFiles::Call>& FaultyFiles::calls() const {
    return plan.calls;
}

} // namespace slotwitness::journal::test
