#include "sentence.hpp"
