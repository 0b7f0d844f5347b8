#include "channel.hpp"

#include "session.hpp"

#include <libssh/callbacks.h>
#include <libssh/libssh.h>

#include <algorithm>

namespace slotwitness::links {

struct Channel::Callbacks {
    static Channel& of(void* self) { return *static_cast<Channel*>(self); }

    static int data(ssh_session, ssh_channel, void* bytes, std::uint32_t length, int is_errors,
                    void* self) {
        auto& channel = of(self);
        if (channel.retired_) {
            return static_cast<int>(length);
        }
        auto& into = is_errors != 0 ? channel.answer_.errors : channel.answer_.bytes;
        const auto room =
            channel.longest_ - channel.answer_.bytes.size() - channel.answer_.errors.size();
        into.append(static_cast<const char*>(bytes), std::min<std::size_t>(length, room));
        channel.too_long_ = channel.too_long_ || length > room;
        return static_cast<int>(length);
    }
    static void end_of_output(ssh_session, ssh_channel, void* self) {
        of(self).answer_.ended = true;
    }
    static void close(ssh_session, ssh_channel, void* self) { of(self).closed_ = true; }
    static void exit_status(ssh_session, ssh_channel, int status, void* self) {
        of(self).answer_.exit_status = status;
    }
    static void exit_signal(ssh_session, ssh_channel, const char* signal, int, const char*,
                            const char*, void* self) {
        of(self).signal_ = signal != nullptr && *signal != '\0' ? signal : "unnamed";
    }
};

Channel::Channel(Session& session, std::size_t longest_answer)
    : longest_(longest_answer), callbacks_(std::make_unique<ssh_channel_callbacks_struct>()),
      raw_(ssh_channel_new(session.ssh())) {
    callbacks_->userdata = this;
    callbacks_->channel_data_function = Callbacks::data;
    callbacks_->channel_eof_function = Callbacks::end_of_output;
    callbacks_->channel_close_function = Callbacks::close;
    callbacks_->channel_exit_status_function = Callbacks::exit_status;
    callbacks_->channel_exit_signal_function = Callbacks::exit_signal;
    ssh_callbacks_init(callbacks_.get());
    if (raw_ != nullptr) {
        ssh_set_channel_callbacks(raw_, callbacks_.get());
    }
}

Channel::~Channel() {
    free();
}

int Channel::open() {
    if (raw_ == nullptr) {
        return SSH_ERROR;
    }
    const int result = ssh_channel_open_session(raw_);
    opening_ = result == SSH_AGAIN;
    return result;
}

int Channel::exec(const std::string& request) {
    if (raw_ == nullptr || closed_) {
        return SSH_ERROR;
    }
    return ssh_channel_request_exec(raw_, request.c_str());
}

int Channel::subsystem(const std::string& name) {
    if (raw_ == nullptr || closed_) {
        return SSH_ERROR;
    }
    return ssh_channel_request_subsystem(raw_, name.c_str());
}

int Channel::terminal(std::size_t columns) {
    if (raw_ == nullptr || closed_) {
        return SSH_ERROR;
    }
    constexpr int rows = 512; // where a pager takes its page from the terminal, pages are few
    return ssh_channel_request_pty_size(raw_, "dumb", static_cast<int>(columns), rows);
}

int Channel::shell() {
    if (raw_ == nullptr || closed_) {
        return SSH_ERROR;
    }
    return ssh_channel_request_shell(raw_);
}

int Channel::write(std::string_view bytes) {
    if (raw_ == nullptr || closed_) {
        return SSH_ERROR;
    }
    // libssh would wait for the window to open, also where it is told never to wait.
    const auto room = std::min<std::size_t>(bytes.size(), ssh_channel_window_size(raw_));
    return room == 0 ? 0 : ssh_channel_write(raw_, bytes.data(), static_cast<std::uint32_t>(room));
}

bool Channel::close_further() {
    if (raw_ == nullptr) {
        return true;
    }
    // A channel that is still being opened cannot be closed: the device would keep its side of it.
    if (opening_ && open() == SSH_AGAIN) {
        return false;
    }
    if (ssh_channel_is_open(raw_)) {
        if (ssh_channel_close(raw_) == SSH_AGAIN) {
            return false;
        }
        close_sent_ = true;
    }
    // The peer answers a close with its own (RFC 4254, section 5.3); until then it holds the
    // channel.
    if (close_sent_ && !closed_) {
        return false;
    }
    free();
    return true;
}

void Channel::abandon() {
    free();
}

void Channel::free() {
    if (raw_ == nullptr) {
        return;
    }
    ssh_remove_channel_callbacks(raw_, callbacks_.get());
    ssh_channel_free(raw_);
    raw_ = nullptr;
}

bool Channel::ran() const {
    return answer_.exit_status || !signal_.empty() || !answer_.bytes.empty() ||
           !answer_.errors.empty();
}

bool Channel::complete() const {
    return closed_ || (answer_.ended && (answer_.exit_status || !signal_.empty()));
}

} // namespace slotwitness::links
