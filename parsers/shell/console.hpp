#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::shell {

inline constexpr std::size_t longest_prompt = 256; ///< bytes

/// How a shell that is there already is met: what is behind a console server. Somebody may have
/// left a line half typed in it, a pager open, or a question unanswered; the return key would run,
/// or affirm, what nobody asked for.
struct ConsoleKeys {
    char redraw = '\f';  ///< shows the prompt, and what is typed behind it, anew; nothing else
    char clear = '\x15'; ///< takes away what is typed behind the prompt
};

/// Whether a whole line may be the device's prompt. Must not throw.
using IsPrompt = std::function<bool(std::string_view line)>;

/// What stands in a terminal's last line, without what only moves or colours.
class LastLine {
  public:
    enum class Took {
        nothing, ///< that a person could read
        text,
        beginning, ///< of another line: a line feed, a return, or a move
    };
    Took take(char byte);
    [[nodiscard]] const std::string& text() const { return text_; }

  private:
    enum class Escape { none, begun, sequence };
    std::string text_;
    Escape escape_ = Escape::none;
};

/// Finds the prompt of a shell that is there already. It acts only when the device has fallen
/// silent: the prompt must stand alone in the last line, twice, letter by letter, in answer to the
/// redraw key, with nothing between that could be read. Only then the clear key and a return are
/// sent, in one go, and the prompt must come once more.
///
/// An open pager is left by its own key, page by page; a half typed line by the clear key. Anything
/// else is waited for, in vain: a person must leave it.
class PromptFinder {
  public:
    PromptFinder(IsPrompt is_prompt, ConsoleKeys keys, std::vector<std::string> pagers,
                 std::optional<char> pager_key)
        : is_prompt_(std::move(is_prompt)), keys_(keys), pagers_(std::move(pagers)),
          pager_key_(pager_key) {}

    void hear(char byte);
    /// Nothing has come for a while; what is to be sent now, mostly nothing. To be called once
    /// before anything was heard, too.
    [[nodiscard]] std::string fall_silent();
    /// The prompt, once it has proven itself; then nothing more may be heard.
    [[nodiscard]] const std::optional<std::string>& found() const { return found_; }
    /// Why it is given up, for a person; empty if it is not.
    [[nodiscard]] const std::string& why() const { return why_; }
    [[nodiscard]] const std::string& last_line() const { return line_.text(); }

  private:
    enum class Sent { nothing, redraw, pager_key, clear, end_of_line };
    [[nodiscard]] std::string send(Sent what);
    [[nodiscard]] std::string prompt_in(std::string_view line) const;
    [[nodiscard]] bool shows_only(std::string_view prompt) const;

    IsPrompt is_prompt_;
    ConsoleKeys keys_;
    std::vector<std::string> pagers_;
    std::optional<char> pager_key_;
    LastLine line_;
    std::string heard_;  ///< what could be read since something was sent
    std::string prompt_; ///< that came alone in answer to the last redraw
    Sent sent_ = Sent::nothing;
    unsigned times_ = 0;
    bool has_heard_ = true;
    std::optional<std::string> found_;
    std::string why_;
};

} // namespace slotwitness::shell
