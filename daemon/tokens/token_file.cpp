#include "token_file.hpp"

#include <slotwitness/keys/fields.hpp>

#include <algorithm>
#include <array>
#include <cerrno>
#include <fcntl.h>
#include <filesystem>
#include <set>
#include <sys/file.h>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace slotwitness::tokens {

namespace {

using keys::Fields;
using keys::Problems;

constexpr std::size_t digest_length = 64;

tl::unexpected<std::string> failed(const std::string& what, const std::string& path) {
    return tl::unexpected("cannot " + what + " " + path + ": " +
                          std::system_category().message(errno));
}

/// A descriptor that closes itself.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0)
            ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    [[nodiscard]] int operator*() const { return number_; }

  private:
    int number_;
};

WallTime to_wall_time(const toml::date_time& at) {
    using namespace std::chrono;
    const year_month_day date{year{at.date.year}, month{at.date.month}, day{at.date.day}};
    return sys_days{date} + hours{at.time.hour} + minutes{at.time.minute} +
           seconds{at.time.second} - minutes{at.offset ? at.offset->minutes : 0};
}

std::optional<WallTime> time_of(Fields& fields, std::string_view key) {
    const toml::node* node = fields.node(key);
    if (node == nullptr)
        return std::nullopt;
    const auto* at = node->as_date_time();
    if (at != nullptr && at->get().offset)
        return to_wall_time(at->get());
    fields.wrong(key, keys::shown(*node), "a time with its zone",
                 "Write for example " + std::string{key} + " = 2026-11-26T18:00:00Z.");
    return std::nullopt;
}

WallTime required_time(Fields& fields, std::string_view key) {
    fields.require(key, std::string{key} + " = 2026-11-26T18:00:00Z");
    return time_of(fields, key).value_or(WallTime{});
}

Token token_of(Fields& fields) {
    Token token;
    token.id = fields.required_text("id", "k7fq2mxd");
    token.digest = fields.required_text("sha256", "the digest of the token");
    if (!token.digest.empty() &&
        (token.digest.size() != digest_length ||
         token.digest.find_first_not_of("0123456789abcdef") != std::string::npos))
        fields.wrong("sha256", token.digest, "64 hex digits", "Make a new token in its place.");
    token.person = fields.required_text("person", "A. Person");
    if (const std::string wrong = wrong_person(token.person);
        !wrong.empty() && !token.person.empty())
        fields.wrong("person", token.person, wrong, "Correct the name.");
    fields.require("role", "role = \"viewer\"");
    if (const auto role = fields.word("role", role_words()))
        token.role = *role_of(role_words()[*role]);
    token.procedure = fields.text("procedure").value_or("");
    if ((token.role == Role::rack) == token.procedure.empty())
        fields.wrong("procedure", token.procedure,
                     token.role == Role::rack ? "the procedure that the rack token is for"
                                              : "nothing: the token is for all procedures",
                     "Revoke the token and make another.");
    token.made = required_time(fields, "made");
    token.expires = required_time(fields, "expires");
    token.revoked = time_of(fields, "revoked");
    return token;
}

/// A TOML basic string; names have no control characters.
std::string in_quotes(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\')
            out += '\\';
        out += c;
    }
    return out + '"';
}

std::string text_of(WallTime at) {
    return units::to_rfc3339(units::Instant{units::Duration{at.time_since_epoch()}});
}

tl::expected<std::string, std::string> read_all(int descriptor, const std::string& path) {
    std::string bytes;
    std::array<char, 4096> chunk{};
    for (;;) {
        const ssize_t count = ::read(descriptor, chunk.data(), chunk.size());
        if (count < 0)
            return failed("read", path);
        if (count == 0)
            return bytes;
        bytes.append(chunk.data(), static_cast<std::size_t>(count));
    }
}

/// Who makes a token may be root: the file stays the daemon's, or is of whom the folder is.
tl::expected<void, std::string> give_to_owner(int file, const std::string& path) {
    struct stat owner {};
    const std::string folder = std::filesystem::absolute(path).parent_path().string();
    if (::stat(path.c_str(), &owner) != 0 && ::stat(folder.c_str(), &owner) != 0)
        return failed("look at", folder);
    if (owner.st_uid != ::geteuid() && ::fchown(file, owner.st_uid, owner.st_gid) != 0)
        return tl::unexpected("the token file " + path +
                              " is another user's; do it as that user, or as root");
    return {};
}

/// Beside the file, then in its place: whoever reads sees the whole old one or the whole new one.
tl::expected<void, std::string> put_in_place(const std::string& path, std::string_view bytes) {
    const std::string beside = path + ".new";
    ::unlink(beside.c_str());
    {
        const Descriptor file(
            ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600));
        if (*file < 0)
            return failed("make", beside);
        if (auto given = give_to_owner(*file, path); !given)
            return given;
        while (!bytes.empty()) {
            const ssize_t count = ::write(*file, bytes.data(), bytes.size());
            if (count < 0)
                return failed("write", beside);
            bytes.remove_prefix(static_cast<std::size_t>(count));
        }
        if (::fsync(*file) != 0)
            return failed("write", beside);
    }
    if (::rename(beside.c_str(), path.c_str()) != 0)
        return failed("replace", path);
    return {};
}

} // namespace

std::string to_text(std::span<const Token> tokens) {
    std::string text =
        "# Written by \"slotwitness token\". It holds no token, only their digests.\n";
    for (const Token& token : tokens) {
        const auto line = [&](std::string_view key, const std::string& value) {
            text.append(key).append(" = ").append(value).append("\n");
        };
        text += "\n[[token]]\n";
        line("id", in_quotes(token.id));
        line("sha256", in_quotes(token.digest));
        line("person", in_quotes(token.person));
        line("role", in_quotes(to_word(token.role)));
        if (!token.procedure.empty())
            line("procedure", in_quotes(token.procedure));
        line("made", text_of(token.made));
        line("expires", text_of(token.expires));
        if (token.revoked)
            line("revoked", text_of(*token.revoked));
    }
    return text;
}

tl::expected<std::vector<Token>, std::vector<state::Problem>> parse_tokens(const keys::File& file) {
    Problems problems({&file, 1});
    std::vector<Token> tokens;
    if (const auto root = keys::parse(file, problems)) {
        Fields fields(*root, "the token file", problems);
        std::set<std::string> ids;
        for (const toml::table* table : fields.tables("token")) {
            Fields one(*table, "[[token]]", problems);
            Token token = token_of(one);
            if (!token.id.empty() && !ids.insert(token.id).second)
                one.wrong("id", token.id, "an id of its own for each token", "Remove one.");
            one.finish();
            tokens.push_back(std::move(token));
        }
        fields.finish();
    }
    if (problems.empty())
        return tokens;
    return tl::unexpected(std::move(problems).take());
}

tl::expected<std::vector<Token>, std::string> load_tokens(const std::string& path) {
    const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    if (*file < 0 && errno == ENOENT)
        return tl::unexpected("there is no token file " + path +
                              "; \"slotwitness token make\" makes it with its first token");
    if (*file < 0)
        return failed("read", path);
    struct stat about {};
    if (::fstat(*file, &about) != 0)
        return failed("read", path);
    if ((about.st_mode & (S_IRWXG | S_IRWXO)) != 0)
        return tl::unexpected("others may read or write the token file " + path + "; chmod 600 it");
    auto text = read_all(*file, path);
    if (!text)
        return tl::unexpected(std::move(text.error()));
    auto tokens = parse_tokens({path, std::move(*text)});
    if (tokens)
        return std::move(*tokens);
    std::string all;
    for (const state::Problem& problem : tokens.error())
        all += (all.empty() ? "" : "\n") + state::to_text(problem);
    return tl::unexpected(std::move(all));
}

tl::expected<void, std::string> edit_tokens(const std::string& path, const Edit& edit) {
    const std::string lock_path = path + ".lock";
    const Descriptor lock(::open(lock_path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600));
    if (*lock < 0)
        return failed("make", lock_path);
    if (::flock(*lock, LOCK_EX) != 0)
        return failed("lock", lock_path);
    std::vector<Token> tokens;
    if (::access(path.c_str(), F_OK) == 0 || errno != ENOENT) {
        auto loaded = load_tokens(path);
        if (!loaded)
            return tl::unexpected(std::move(loaded.error()));
        tokens = std::move(*loaded);
    }
    if (auto edited = edit(tokens); !edited)
        return edited;
    return put_in_place(path, to_text(tokens));
}

tl::expected<void, std::string> keep_token(const std::string& path, const Token& token,
                                           WallTime now) {
    constexpr std::chrono::seconds remembered = std::chrono::days(90);
    return edit_tokens(path, [&](std::vector<Token>& all) -> tl::expected<void, std::string> {
        std::erase_if(all, [&](const Token& each) {
            return now - each.revoked.value_or(each.expires) > remembered;
        });
        const auto of_this_rack = std::ranges::count_if(all, [&](const Token& each) {
            return each.role == Role::rack && each.procedure == token.procedure && !each.revoked &&
                   now < each.expires;
        });
        if (token.role == Role::rack && static_cast<std::size_t>(of_this_rack) >= most_of_a_rack)
            return tl::unexpected("procedure " + token.procedure + " has " +
                                  std::to_string(most_of_a_rack) +
                                  " rack tokens already; revoke one of them");
        all.push_back(token);
        return {};
    });
}

} // namespace slotwitness::tokens
