#include "chain.hpp"
#include "lock_file.hpp"
#include "sqlite_session.hpp"
#include "store.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <fcntl.h>
#include <filesystem>
#include <limits>
#include <memory>
#include <optional>
#include <stdexcept>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace slotwitness::journal {

namespace {

using Kind = StoreError::Kind;

/// Statements of an append, prepared once, with the values bound to them.
struct Appending {
    explicit Appending(soci::session& session)
        : blob(session),
          head((session.prepare << "SELECT sequence, hash FROM entries WHERE chassis = :chassis "
                                   "ORDER BY sequence DESC LIMIT 1",
                soci::into(sequence), soci::into(hash), soci::use(chassis))),
          // SOCI binds an empty blob as NULL.
          capture((session.prepare << "INSERT INTO captures (digest, bytes) "
                                      "VALUES (:digest, coalesce(:bytes, x'')) "
                                      "ON CONFLICT (digest) DO NOTHING",
                   soci::use(hash), soci::use(blob))),
          entry((session.prepare << "INSERT INTO entries (chassis, sequence, previous, hash, line) "
                                    "VALUES (:chassis, :sequence, :previous, :hash, :line)",
                 soci::use(chassis), soci::use(sequence), soci::use(previous), soci::use(hash),
                 soci::use(line))) {}

    std::string chassis;
    long long sequence = 0;
    std::string previous;
    std::string hash;
    std::string line;
    soci::blob blob;
    soci::statement head;
    soci::statement capture;
    soci::statement entry;
};

class SqliteStore final : public Store {
  public:
    SqliteStore(std::string path, std::optional<LockFile> lock)
        : path_(std::move(path)), lock_(std::move(lock)) {}

    [[nodiscard]] tl::expected<void, StoreError> open();

    [[nodiscard]] tl::expected<Entry, StoreError>
    append(std::string_view chassis, const nlohmann::json& body,
           const std::vector<Capture>& captures) override;
    [[nodiscard]] tl::expected<void, StoreError> begin_group() override;
    [[nodiscard]] tl::expected<void, StoreError> commit_group() override;
    [[nodiscard]] tl::expected<std::vector<Entry>, StoreError>
    entries(std::string_view chassis, std::uint64_t from, std::size_t most) override;
    [[nodiscard]] tl::expected<std::vector<std::string>, StoreError> chassis() override;
    [[nodiscard]] tl::expected<std::optional<std::string>, StoreError>
    capture(std::string_view digest) override;

  private:
    [[nodiscard]] bool may_write() const { return lock_.has_value(); }
    [[nodiscard]] StoreError error(Kind kind, const std::string& text) const {
        return {kind, "journal " + path_ + ": " + text};
    }
    [[nodiscard]] tl::expected<void, StoreError> check_format();
    void make_tables();
    [[nodiscard]] Entry store(std::string_view chassis, const nlohmann::json& body,
                              const std::vector<Capture>& captures);
    void roll_back();
    /// Rolls back all that is not durable yet; what it was for fails by this.
    [[nodiscard]] StoreError failed(StoreError error);
    [[nodiscard]] std::string bytes_of(soci::blob& blob) const;

    std::string path_;
    std::optional<LockFile> lock_; ///< outlives the session: nobody else writes while it closes
    soci::session session_;
    std::unique_ptr<Appending> appending_; ///< made when first needed, and anew after a failure
    bool in_group_ = false;
    std::optional<StoreError> group_failed_; ///< nothing more of the group is taken
};

tl::expected<void, StoreError> SqliteStore::open() {
    try {
        open_session(session_, path_, !may_write());
        if (auto checked = check_format(); !checked)
            return checked;
        if (!may_write())
            return {};
        std::string mode;
        session_ << "PRAGMA journal_mode = WAL", soci::into(mode);
        if (mode != "wal")
            return tl::unexpected(error(Kind::unavailable,
                                        "its file system does not bear a write-ahead log; "
                                        "put it on a local disk"));
        session_ << "PRAGMA synchronous = FULL";
        make_tables();
        return {};
    } catch (const std::exception& thrown) {
        return tl::unexpected(store_error(session_, path_, thrown));
    }
}

/// Before anything is written: another program's database is left as it is.
tl::expected<void, StoreError> SqliteStore::check_format() {
    const long long id = pragma(session_, "application_id");
    const long long version = pragma(session_, "user_version");
    long long tables = 0;
    session_ << "SELECT count(*) FROM sqlite_schema", soci::into(tables);
    if (id == 0 && version == 0 && tables == 0) {
        if (may_write())
            return {};
        return tl::unexpected(
            error(Kind::unavailable, "it is empty: no daemon has written it yet"));
    }
    if (id != application_id)
        return tl::unexpected(error(Kind::damaged,
                                    "the file is a database of another program, not a journal; "
                                    "name another one"));
    if (version > schema_version)
        return tl::unexpected(
            error(Kind::damaged, "a newer version of slotwitness wrote it (format " +
                                     std::to_string(version) + ", this one reads up to " +
                                     std::to_string(schema_version) + "); use that version"));
    return {};
}

void SqliteStore::make_tables() {
    if (pragma(session_, "user_version") == schema_version)
        return;
    session_.begin();
    session_ << "CREATE TABLE entries ("
                "chassis TEXT NOT NULL, sequence BIGINT NOT NULL, previous TEXT NOT NULL, "
                "hash TEXT NOT NULL, line TEXT NOT NULL, PRIMARY KEY (chassis, sequence))";
    session_ << "CREATE TABLE captures (digest TEXT NOT NULL PRIMARY KEY, bytes BLOB NOT NULL)";
    session_ << "PRAGMA application_id = " << application_id;
    session_ << "PRAGMA user_version = " << schema_version;
    session_.commit();
}

tl::expected<Entry, StoreError> SqliteStore::append(std::string_view chassis,
                                                    const nlohmann::json& body,
                                                    const std::vector<Capture>& captures) {
    if (!may_write())
        return tl::unexpected(error(Kind::misuse, "it is open for reading only"));
    for (const Capture& capture : captures)
        if (digest_of(capture.bytes) != capture.digest)
            return tl::unexpected(error(Kind::misuse, "a capture is not named by its SHA-256"));
    if (group_failed_)
        return tl::unexpected(*group_failed_);
    try {
        return store(chassis, body, captures);
    } catch (const std::invalid_argument& thrown) {
        return tl::unexpected(failed(error(Kind::misuse, thrown.what())));
    } catch (const std::exception& thrown) {
        return tl::unexpected(failed(store_error(session_, path_, thrown)));
    }
}

tl::expected<void, StoreError> SqliteStore::begin_group() {
    if (!may_write())
        return tl::unexpected(error(Kind::misuse, "it is open for reading only"));
    try {
        session_.begin();
        in_group_ = true;
        return {};
    } catch (const std::exception& thrown) {
        return tl::unexpected(failed(store_error(session_, path_, thrown)));
    }
}

tl::expected<void, StoreError> SqliteStore::commit_group() {
    std::optional<StoreError> trouble = std::exchange(group_failed_, std::nullopt);
    if (!std::exchange(in_group_, false) && !trouble)
        trouble = error(Kind::misuse, "there is no group");
    try {
        if (!trouble)
            session_.commit();
    } catch (const std::exception& thrown) {
        trouble = failed(store_error(session_, path_, thrown));
    }
    if (trouble)
        return tl::unexpected(std::move(*trouble));
    return {};
}

Entry SqliteStore::store(std::string_view chassis, const nlohmann::json& body,
                         const std::vector<Capture>& captures) {
    if (!appending_)
        appending_ = std::make_unique<Appending>(session_);
    Appending& to = *appending_;
    if (!in_group_)
        session_.begin();

    Head head;
    to.chassis = chassis;
    if (to.head.execute(true)) {
        head = {static_cast<std::uint64_t>(to.sequence), to.hash};
        to.head.fetch(); // to its end, or the statement would go on holding its snapshot
    }
    Entry entry = next_entry(chassis, head, body);

    for (const Capture& capture : captures) {
        to.hash = capture.digest;
        to.blob.trim(0);
        to.blob.append(capture.bytes.data(), capture.bytes.size());
        to.capture.execute(true);
    }
    to.sequence = static_cast<long long>(entry.sequence);
    to.previous = entry.previous;
    to.hash = entry.hash;
    to.line = entry.line;
    to.entry.execute(true);
    if (!in_group_)
        session_.commit();
    return entry;
}

StoreError SqliteStore::failed(StoreError error) {
    roll_back();
    if (in_group_)
        group_failed_ = error;
    return error;
}

void SqliteStore::roll_back() {
    appending_.reset();
    try {
        session_.rollback();
    } catch (const soci::soci_error&) { // NOLINT(bugprone-empty-catch)
        // SQLite rolls back by itself after some errors; then there is no transaction left.
    }
}

tl::expected<std::vector<Entry>, StoreError>
SqliteStore::entries(std::string_view chassis, std::uint64_t from, std::size_t most) {
    constexpr std::uint64_t largest = std::numeric_limits<long long>::max();
    const std::uint64_t first = std::clamp<std::uint64_t>(from, 1, largest);
    try {
        std::vector<Entry> out;
        Entry entry;
        entry.chassis = chassis;
        long long sequence = 0;
        // The entry before the first one is read too: the chain is verified from there on.
        const auto start = static_cast<long long>(first - 1);
        soci::statement read =
            (session_.prepare
                 << "SELECT sequence, previous, hash, line FROM entries "
                    "WHERE chassis = :chassis AND sequence >= :start ORDER BY sequence",
             soci::into(sequence), soci::into(entry.previous), soci::into(entry.hash),
             soci::into(entry.line), soci::use(entry.chassis), soci::use(start));
        read.execute();
        std::optional<Head> head;
        while (out.size() < most && read.fetch()) {
            entry.sequence = static_cast<std::uint64_t>(sequence);
            if (!head)
                head = first <= 2 ? Head{} : Head{first - 2, entry.previous};
            if (const auto what = broken(entry, chassis, *head))
                return tl::unexpected(
                    error(Kind::damaged, *what + "; keep a copy of the file for whoever "
                                                 "has to find out what happened to it"));
            head = Head{entry.sequence, entry.hash};
            if (entry.sequence >= first)
                out.push_back(entry);
        }
        return out;
    } catch (const std::exception& thrown) {
        return tl::unexpected(store_error(session_, path_, thrown));
    }
}

tl::expected<std::vector<std::string>, StoreError> SqliteStore::chassis() {
    try {
        std::vector<std::string> out;
        std::string name;
        soci::statement read =
            (session_.prepare << "SELECT DISTINCT chassis FROM entries ORDER BY chassis",
             soci::into(name));
        read.execute();
        while (read.fetch())
            out.push_back(name);
        return out;
    } catch (const std::exception& thrown) {
        return tl::unexpected(store_error(session_, path_, thrown));
    }
}

tl::expected<std::optional<std::string>, StoreError> SqliteStore::capture(std::string_view digest) {
    try {
        const std::string name(digest);
        soci::blob blob(session_);
        soci::statement read =
            (session_.prepare << "SELECT bytes FROM captures WHERE digest = :digest",
             soci::into(blob), soci::use(name));
        if (!read.execute(true))
            return std::optional<std::string>();
        std::string bytes(blob.get_len(), '\0');
        if (!bytes.empty())
            blob.read(0, bytes.data(), bytes.size());
        if (digest_of(bytes) != name)
            return tl::unexpected(error(
                Kind::damaged, "capture " + name + " was altered: its bytes have another SHA-256"));
        return std::optional(std::move(bytes));
    } catch (const std::exception& thrown) {
        return tl::unexpected(store_error(session_, path_, thrown));
    }
}

/// The path as SOCI can pass it on, or what is wrong with it.
tl::expected<std::string, StoreError> usable(const std::string& path) {
    const auto unusable = [&path](const std::string& text) {
        return tl::unexpected(StoreError{Kind::unavailable, "journal \"" + path + "\": " + text});
    };
    if (path.empty())
        return unusable("no file is named; name one");
    if (path.find_first_of(std::string_view("\"\0", 2)) != std::string::npos)
        return unusable(
            "a double quote or a zero byte cannot stand in the name; name another file");
    std::error_code failed;
    const std::filesystem::path full = std::filesystem::absolute(path, failed);
    if (failed)
        return unusable(failed.message());
    if (!std::filesystem::is_directory(full.parent_path(), failed))
        return unusable("the folder " + full.parent_path().string() +
                        " does not exist; make it, or name another file");
    if (std::filesystem::is_directory(full, failed))
        return unusable("this is a folder; name a file in it");
    return full.string();
}

tl::expected<std::unique_ptr<Store>, StoreError> opened(std::unique_ptr<SqliteStore> store) {
    if (auto open = store->open(); !open)
        return tl::unexpected(std::move(open.error()));
    return store;
}

} // namespace

tl::expected<std::unique_ptr<Store>, StoreError> open_sqlite(const std::string& path) {
    const auto full = usable(path);
    if (!full)
        return tl::unexpected(full.error());
    auto lock = LockFile::take(*full);
    if (!lock)
        return tl::unexpected(std::move(lock.error()));
    // SQLite would make it readable for all; the files that it makes beside it take over these
    // permissions.
    if (const int made = ::open(full->c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
        made >= 0)
        ::close(made);
    return opened(std::make_unique<SqliteStore>(*full, std::move(*lock)));
}

tl::expected<std::unique_ptr<Store>, StoreError> open_sqlite_read_only(const std::string& path) {
    const auto full = usable(path);
    if (!full)
        return tl::unexpected(full.error());
    return opened(std::make_unique<SqliteStore>(*full, std::nullopt));
}

} // namespace slotwitness::journal
