#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// What the daemon tells of itself on standard error: for people, or for programs.
namespace slotwitness::log {

/// What a line is about. Programs go by these words: none changes its meaning,
/// deploy/service/README.md lists them.
enum class Event : std::uint8_t {
    access,      ///< who may come in: a rack token was made, tokens cannot be read, there are none
    certificate, ///< it was read again, or could not be
    connection,  ///< one could not be taken
    defect,      ///< of our own
    evidence,    ///< a pack that was cut while it was sent
    identity,    ///< which chassis this is cannot be told
    journal,     ///< it takes no events, takes them again, cannot be recomputed
    look,        ///< looks come more seldom than configured, or at their pace again
    request,     ///< somebody changed something over the API
    refused,     ///< somebody was not let in
    session,     ///< with a router
    software,    ///< of a router, for which its profile is not proven
    stop,        ///< of the daemon
    switchover,  ///< of a router: another controller in charge, or another address that answers
};
[[nodiscard]] std::string_view to_word(Event event);

enum class Level : std::uint8_t { info, warning, error, critical };
[[nodiscard]] std::string_view to_word(Level level);

struct Field {
    std::string_view key;
    std::variant<std::string, std::int64_t> value;
};
struct About {
    std::string_view chassis;  ///< empty: of none
    std::vector<Field> fields; ///< said in the text as well; programs need not take it apart
};

/// Never a secret: neither a token nor a password is given here.
void tell(Level level, Event event, const About& about, std::string_view text);

enum class Form : std::uint8_t { text, json };
/// From now on lines go to standard error in this form.
void begin(Form form);
/// From now on only what needs somebody is told: warnings and above.
void tell_warnings_alone();

/// A line for programs, one JSON object without LF: time (RFC 3339), level, event, chassis, fields,
/// text. `since_epoch` in milliseconds.
[[nodiscard]] std::string json_line(std::int64_t since_epoch, Level level, Event event,
                                    const About& about, std::string_view text);

} // namespace slotwitness::log
