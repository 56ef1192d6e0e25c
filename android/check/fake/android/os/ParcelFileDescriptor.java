package android.os;

import java.io.File;
import java.io.FileNotFoundException;

public class ParcelFileDescriptor {
    public static final int MODE_READ_ONLY = 0x10000000;

    public final File file;

    private ParcelFileDescriptor(File file) {
        this.file = file;
    }

    public static ParcelFileDescriptor open(File file, int mode) throws FileNotFoundException {
        if (mode != MODE_READ_ONLY || !file.isFile()) {
            throw new FileNotFoundException(file.toString());
        }
        return new ParcelFileDescriptor(file);
    }
}
