#include "sqlite_session.hpp"

#include <soci/sqlite3/soci-sqlite3.h>

namespace slotwitness::journal {

namespace {

using Kind = StoreError::Kind;
namespace sqlite = sqlite_api;

struct Meaning {
    Kind kind;
    const char* text;
};

/// By SQLite's primary result code (https://www.sqlite.org/rescode.html).
Meaning meaning_of(int code) {
    switch (code) {
    case SQLITE_FULL:
        return {Kind::unavailable, "the disk is full; make room on its file system"};
    case SQLITE_IOERR:
        return {Kind::unavailable,
                "reading or writing it failed; look at the disk and the system log"};
    case SQLITE_READONLY:
        return {Kind::unavailable,
                "it may not be written; check owner, permissions and whether its file "
                "system is mounted read-only"};
    case SQLITE_CANTOPEN:
        return {Kind::unavailable,
                "it or a file beside it cannot be opened; check that it exists and that "
                "this user may read and write it and its folder, or copy it to a folder "
                "where that is so"};
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return {Kind::unavailable, "access is denied; check owner and permissions"};
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
    case SQLITE_PROTOCOL:
        return {Kind::unavailable, "another program holds a lock on it; close that program"};
    case SQLITE_NOMEM:
        return {Kind::unavailable, "there is not enough memory"};
    case SQLITE_CORRUPT:
        return {Kind::damaged,
                "the file is damaged; keep a copy of it and restore an older one, or start "
                "with a new journal"};
    case SQLITE_NOTADB:
        return {Kind::damaged, "the file is not a journal; name another one"};
    default:
        return {Kind::misuse, "the database refused a call of ours"};
    }
}

} // namespace

void open_session(soci::session& session, const std::string& path, bool read_only) {
    // Five seconds for a reader that is just recovering the write-ahead log; nobody else writes.
    session.open(soci::sqlite3,
                 "dbname=\"" + path + "\" timeout=5" + (read_only ? " readonly=true" : ""));
    auto* const connection =
        static_cast<soci::sqlite3_session_backend*>(session.get_backend())->conn_;
    sqlite::sqlite3_extended_result_codes(connection, 1);
}

long long pragma(soci::session& session, const std::string& name) {
    long long value = 0;
    session << "PRAGMA " << name, soci::into(value);
    return value;
}

StoreError store_error(soci::session& session, const std::string& path,
                       const std::exception& thrown) {
    int code = SQLITE_ERROR;
    if (const auto* ours = dynamic_cast<const soci::sqlite3_soci_error*>(&thrown))
        code = ours->result();
    // SOCI tells no code for BEGIN, COMMIT and ROLLBACK; the connection still knows it.
    else if (session.is_connected())
        code = sqlite::sqlite3_extended_errcode(
            static_cast<soci::sqlite3_session_backend*>(session.get_backend())->conn_);
    const Meaning meaning = meaning_of(code & 0xFF);
    return {meaning.kind, "journal " + path + ": " + meaning.text + " (SQLite " +
                              std::to_string(code) + ": " + thrown.what() + ")"};
}

} // namespace slotwitness::journal
