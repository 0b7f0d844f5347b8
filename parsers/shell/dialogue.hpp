#pragma once

#include "console.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// A login shell on a terminal, as a program speaks to it: bytes go in, what is to be sent comes
/// out. No input and output, no time.
namespace slotwitness::shell {

/// What ends each line that is sent: the return key, as a terminal sends it.
inline constexpr std::string_view line_end = "\r";

inline constexpr std::size_t longest_login = std::size_t{64} * 1024; ///< bytes of banner and prompt

struct Spec {
    IsPrompt is_prompt;
    std::optional<ConsoleKeys> console; ///< the shell is there already
    std::vector<std::string> pagers;    ///< prompts of the pager, as printed
    std::optional<char> pager_key; ///< what answers them; without it they are part of the answer
    std::size_t longest_answer = std::size_t{1} << 20; ///< bytes, without echo and prompt
};

/// One shell, from its start to the first thing that is odd; after that it is to be closed, so that
/// a late answer can never be taken for that of a later query.
///
/// The prompt is learned at login: the first line of which all fits the profile's rule. Nobody can
/// know from a prompt alone whether the device has more to say in that line, so it must prove
/// itself each time: an empty line is sent, and the very same prompt must come again at once, with
/// nothing between. A line of an answer that looks like the prompt does not pass that.
///
/// What comes in answer to one sending gives the same result however it is cut in pieces.
class Dialogue {
  public:
    enum class Stage {
        finding, ///< the prompt of a shell that is there already
        login,   ///< banner, until a prompt
        proving, ///< the prompt came; an empty line was sent
        ready,   ///< another query may be asked
        echo,    ///< a query was sent; the device repeats it
        answer,
        odd, ///< over; `why` tells
    };

    explicit Dialogue(Spec spec);

    /// Takes what came, and returns what must be sent now; mostly nothing.
    [[nodiscard]] std::string hear(std::string_view bytes);
    /// While `finding`: nothing has come for a while; what must be sent now.
    [[nodiscard]] std::string fall_silent();
    /// What asks the query, which has no control character; only if ready.
    [[nodiscard]] std::string ask(std::string_view query);

    [[nodiscard]] Stage stage() const { return stage_; }
    /// One sentence for a person; only if odd.
    [[nodiscard]] const std::string& why() const { return why_; }
    /// Where it stands, for a person: "waiting for the prompt after login".
    [[nodiscard]] std::string_view doing() const;
    /// The line in which the prompt is waited for at login, as far as it has come; else nothing.
    [[nodiscard]] std::optional<std::string> waits_in() const;
    /// What was learned at login; empty before.
    [[nodiscard]] const std::string& prompt() const { return prompt_; }
    /// The answer between echo and prompt: whole if ready, else what has come of it. Prompts of the
    /// pager, and what erased them, are in it.
    [[nodiscard]] const std::string& answer() const { return answer_; }

  private:
    void take(char byte, bool is_last);
    void find_prompt(char byte);
    void take_login(char byte, bool is_last);
    void take_proof(char byte);
    void take_echo(char byte);
    void take_answer(char byte, bool is_last);
    void prompt_came(bool is_last);
    void begin_line();
    void too_long();
    [[nodiscard]] std::string_view line() const;
    void be_odd(std::string why);

    Spec spec_;
    Stage stage_ = Stage::login;
    std::optional<PromptFinder> finder_;
    std::string why_;
    std::string prompt_;
    std::string sending_;
    std::string query_;
    std::string login_line_; ///< as far as it has come
    std::string answer_;
    std::size_t line_at_ = 0;
    bool paged_ = false;      ///< a prompt of the pager was answered in this line
    std::size_t heard_ = 0;   ///< bytes of login, of the echo, or of the prompt's proof
    bool line_ended_ = false; ///< the line end before the prompt's proof has come
};

} // namespace slotwitness::shell
