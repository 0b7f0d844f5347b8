#include "words.hpp"
